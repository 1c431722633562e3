#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Writes filters.json: what SciPy makes of Butterworth filters and bands, for tests/Sweepbook.Tests/Filters/SciPyFilterTests.cs.

Run in this folder: python3 make_filters.py
The pattern is exact fractions, so that both sides start from the same bits; nothing here is random.
"""
import json

import numpy as np
import scipy
from scipy import signal

RATE_HZ = 48000
n = np.arange(4000, dtype=np.int64)
x = ((n * n * 3) % 257) / 256.0 - 0.5


def zero_phase(sos, samples, silence):
    """sosfiltfilt between long silences, cut back: its own edge treatment never sees the signal."""
    padded = np.concatenate([np.zeros(silence), samples, np.zeros(silence)])
    return signal.sosfiltfilt(sos, padded, padtype=None)[silence:silence + len(samples)]


def response(sos, hz):
    h = signal.sosfreqz(sos, worN=hz, fs=RATE_HZ)[1]
    return {"hz": hz, "re": [float(v.real) for v in h], "im": [float(v.imag) for v in h]}


def numbers(values):
    return [float(v) for v in values]


def band_sos(lower_hz, upper_hz, order, passes, rate_hz=RATE_HZ):
    """A band-pass whose edges hold the nominal attenuation, made wider for two passes (see BandFilter)."""
    lower, upper = (np.tan(np.pi * f / rate_hz) for f in (lower_hz, upper_hz))
    share = np.pi / (2 * order)
    widening = 1 if passes == 1 else 1 / ((1 - 0.5 / order) * share / np.sin(share))
    width = (upper - lower) * widening
    low = -width / 2 + np.sqrt(width ** 2 / 4 + lower * upper)
    edges = [np.arctan(w) / np.pi * rate_hz for w in (low, low + width)]
    return signal.butter(order, edges, "bandpass", fs=rate_hz, output="sos")


def uses(once, twice, silence):
    """Every fiftieth sample of the three uses."""
    return {
        "causal": numbers(signal.sosfilt(once, x)[::50]),
        "time_reversed": numbers(signal.sosfilt(once, x[::-1])[::-1][::50]),
        "zero_phase": numbers(zero_phase(twice, x, silence)[::50]),
    }


filters = {
    "butterworth_low_5_1000": signal.butter(5, 1000, "lowpass", fs=RATE_HZ, output="sos"),
    "butterworth_high_4_80": signal.butter(4, 80, "highpass", fs=RATE_HZ, output="sos"),
    "butterworth_band_3_800_1250": signal.butter(3, [800, 1250], "bandpass", fs=RATE_HZ, output="sos"),
    "butterworth_low_16_20000": signal.butter(16, 20000, "lowpass", fs=RATE_HZ, output="sos"),
    "butterworth_high_9_15000": signal.butter(9, 15000, "highpass", fs=RATE_HZ, output="sos"),
    "butterworth_band_8_16000_21500": signal.butter(8, [16000, 21500], "bandpass", fs=RATE_HZ, output="sos"),
}
hz = [10.0, 79.0, 500.0, 800.0, 1000.0, 1250.0, 5000.0, 20000.0]
golden = {"tool": f"SciPy {scipy.__version__}, NumPy {np.__version__}"}
for name, sos in filters.items():
    golden[name] = {"response": response(sos, hz), "causal": numbers(signal.sosfilt(sos, x)[::50]), "zero_phase": numbers(zero_phase(sos, x, 60000)[::50])}
bands = {}
for index in (-16, -10, 0, 10):
    centre = 1000 * 10 ** (index / 10)
    edges = centre * 10 ** -0.05, centre * 10 ** 0.05
    once, twice = band_sos(*edges, 3, 1), band_sos(*edges, 2, 2)
    bands[str(index)] = uses(once, twice, 400000)
golden["third_octaves"] = bands
near = []  # bands close to half the rate, where the class 1 limits ask for fourth order in one pass and third in two
for bands_per_octave, index, rate_hz in ((1, 2, 16000), (3, 8, 16000), (3, 12, 44100), (3, 12, 48000), (6, 25, 48000), (3, 15, 96000)):
    centre = 1000 * 10 ** (0.15 * (2 * index + 1 - bands_per_octave % 2) / bands_per_octave)
    edges = centre * 10 ** (-0.15 / bands_per_octave), centre * 10 ** (0.15 / bands_per_octave)
    once, twice = band_sos(*edges, 4, 1, rate_hz), band_sos(*edges, 3, 2, rate_hz)
    ratios = [0.3, 0.7, 0.95, 1.0, 1.04]
    attenuation = {
        "hz": [centre * ratio for ratio in ratios],
        "once_db": [-20 * np.log10(np.abs(v)) for v in signal.sosfreqz(once, worN=[centre * ratio for ratio in ratios], fs=rate_hz)[1]],
        "twice_db": [-40 * np.log10(np.abs(v)) for v in signal.sosfreqz(twice, worN=[centre * ratio for ratio in ratios], fs=rate_hz)[1]],
    }
    near.append({"bands_per_octave": bands_per_octave, "index": index, "rate_hz": rate_hz, **attenuation, **uses(once, twice, 60000)})
golden["near_half_the_rate"] = near
with open("filters.json", "w", encoding="utf-8", newline="\n") as file:
    json.dump(golden, file, indent=1)
    file.write("\n")
