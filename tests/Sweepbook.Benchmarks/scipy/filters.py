# SPDX-License-Identifier: MIT
"""27 third-octave bands, 25 Hz to 10 kHz, of a response at 48 kHz by sosfiltfilt: the class 1 zero-phase filters of Sweepbook.Filters.BandFilter."""
import numpy
from scipy import signal

RATE_HZ = 48000


def band(index):
    """Two pole pairs, wider, so that both passes together keep the class 1 limits and let through as much white noise as an ideal band."""
    lower, upper = (numpy.tan(numpy.pi * 1000 * 10 ** (index / 10 + side) / RATE_HZ) for side in (-0.05, 0.05))
    width = (upper - lower) / (0.75 * (numpy.pi / 4) / numpy.sin(numpy.pi / 4))
    low = -width / 2 + numpy.sqrt(width ** 2 / 4 + lower * upper)
    return signal.butter(2, [numpy.arctan(w) / numpy.pi * RATE_HZ for w in (low, low + width)], "bandpass", fs=RATE_HZ, output="sos")


def load(folder):
    return numpy.fromfile(folder + "/response.f64"), [band(index) for index in range(-16, 11)]


def run(data):
    response, bands = data
    return [signal.sosfiltfilt(sos, response, padtype=None) for sos in bands]
