# SPDX-License-Identifier: MIT
"""Cumulative decay through a window of 0.5 s that rises over 25 ms and falls over its last quarter: one real transform per slice, the bins from 20 to 500 Hz."""
import numpy
from scipy import fft

RATE_HZ, LENGTH, RISE, FALL = 48000, 24000, 1200, 6000
PADDED = 2 * LENGTH
FIRST, LAST = 20 * PADDED // RATE_HZ, 500 * PADDED // RATE_HZ


def load(folder):
    window = numpy.ones(LENGTH)
    window[:RISE] = numpy.sin(numpy.pi / 2 * numpy.arange(RISE) / RISE) ** 2
    window[-FALL:] = numpy.sin(numpy.pi / 2 * numpy.arange(FALL, 0, -1) / FALL) ** 2
    response = numpy.fromfile(folder + "/response.f64")
    moments = numpy.fromfile(folder + "/moments.f64").astype(int)
    return numpy.concatenate([numpy.zeros(RISE), response, numpy.zeros(LENGTH)]), moments, window


def run(data):
    response, moments, window = data
    powers = numpy.empty((len(moments), LAST - FIRST + 1))
    for row, moment in zip(powers, moments):
        bins = fft.rfft(response[moment:moment + LENGTH] * window, PADDED)[FIRST:LAST + 1]
        row[:] = bins.real ** 2 + bins.imag ** 2
    return powers
