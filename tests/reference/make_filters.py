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


def band_sos(lower_hz, upper_hz, order, passes):
    """A band-pass whose edges hold the nominal attenuation, made wider for two passes (see BandFilter)."""
    lower, upper = (np.tan(np.pi * f / RATE_HZ) for f in (lower_hz, upper_hz))
    share = np.pi / (2 * order)
    widening = 1 if passes == 1 else 1 / ((1 - 0.5 / order) * share / np.sin(share))
    width = (upper - lower) * widening
    low = -width / 2 + np.sqrt(width ** 2 / 4 + lower * upper)
    edges = [np.arctan(w) / np.pi * RATE_HZ for w in (low, low + width)]
    return signal.butter(order, edges, "bandpass", fs=RATE_HZ, output="sos")


filters = {
    "butterworth_low_5_1000": signal.butter(5, 1000, "lowpass", fs=RATE_HZ, output="sos"),
    "butterworth_high_4_80": signal.butter(4, 80, "highpass", fs=RATE_HZ, output="sos"),
    "butterworth_band_3_800_1250": signal.butter(3, [800, 1250], "bandpass", fs=RATE_HZ, output="sos"),
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
    bands[str(index)] = {
        "causal": numbers(signal.sosfilt(once, x)[::50]),
        "time_reversed": numbers(signal.sosfilt(once, x[::-1])[::-1][::50]),
        "zero_phase": numbers(zero_phase(twice, x, 400000)[::50]),
    }
golden["third_octaves"] = bands
with open("filters.json", "w", encoding="utf-8", newline="\n") as file:
    json.dump(golden, file, indent=1)
    file.write("\n")
