# SPDX-License-Identifier: MIT
"""Mean power over a twelfth of an octave round every bin: a cumulative sum, read between its bins at both edges of the band."""
import numpy

WIDTH = 1 / 12


def load(folder):
    return numpy.fromfile(folder + "/power.f64")


def run(power):
    count = len(power)
    centre = numpy.arange(count, dtype=float)
    low, high = centre * 2 ** (-WIDTH / 2), centre * 2 ** (WIDTH / 2)
    narrow = high - low < 1  # one bin at least; bins below the first wide one only
    low[narrow], high[narrow] = centre[narrow] - 0.5, centre[narrow] + 0.5
    numpy.minimum(high, count - 0.5, out=high)
    edges = numpy.arange(count + 1) - 0.5
    sums = numpy.zeros(count + 1)
    numpy.cumsum(power, out=sums[1:])
    return (numpy.interp(high, edges, sums) - numpy.interp(low, edges, sums)) / (high - low)
