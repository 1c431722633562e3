#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Writes transforms.json: what SciPy makes of fixed patterns, for tests/Sweepbook.Tests/Transforms/SciPyTests.cs.

Run in this folder: python3 make_transforms.py
The patterns are exact fractions, so that both sides start from the same bits; nothing here is random.
"""
import json

import numpy as np
import scipy
from scipy import fft, signal


def pattern(count, factor):
    """((n² · factor) mod 257) / 256 − 1/2: every value is a whole number of 256ths."""
    n = np.arange(count, dtype=np.int64)
    return ((n * n * factor) % 257) / 256.0 - 0.5


def parts(values):
    return {"re": [float(v.real) for v in values], "im": [float(v.imag) for v in values]}


x, y = pattern(240, 3), pattern(75, 5)
n = np.arange(240000, dtype=np.int64)
long_pattern = ((n * n * 3) % 65537) / 65536.0 - 0.5  # whole 65536ths
long_bins = fft.rfft(long_pattern.astype(np.longdouble))  # 64-bit mantissa: exact as far as double can tell
picked = [0, 1, 2, 3, 5, 1000, 7777, 29999, 30000, 30001, 40000, 59999, 60000, 60001, 77777, 80000, 99999, 119998, 119999, 120000]
frequencies_hz = [0.0, 1.5, 20.0, 63.0957, 440.0, 997.0, 12345.678, 23999.0]
golden = {
    "tool": f"SciPy {scipy.__version__}, NumPy {np.__version__}",
    "rfft_240": parts(fft.rfft(x.astype(np.longdouble))),
    "fft_75": parts(fft.fft(y.astype(np.longdouble))),
    "rfft_240000": {"k": picked, **parts(long_bins[picked])},
    "irfft_240_of_squared_bins": [float(v) for v in fft.irfft(fft.rfft(x) ** 2, 240)],
    "fftconvolve_240_75": [float(v) for v in signal.fftconvolve(x, y)],
    "correlate_240_75": [float(v) for v in signal.correlate(x, y, method="direct")],
    "freqz_240": {"hz": frequencies_hz, **parts(signal.freqz(x, worN=frequencies_hz, fs=48000)[1])},
    "next_fast_len": [[n, int(fft.next_fast_len(n, real=True))] for n in (1, 7, 11, 241, 997, 4001, 65537, 262145, 999999)],
    "hann_33": signal.windows.hann(33, sym=True).tolist(),
    "hann_32_periodic": signal.windows.hann(32, sym=False).tolist(),
    "hamming_33": signal.windows.hamming(33, sym=True).tolist(),
    "hamming_32_periodic": signal.windows.hamming(32, sym=False).tolist(),
    "blackman_33": signal.windows.blackman(33, sym=True).tolist(),
    "blackman_32_periodic": signal.windows.blackman(32, sym=False).tolist(),
    "tukey_40_ratio_0.3": signal.windows.tukey(40, 0.3, sym=True).tolist(),
}
with open("transforms.json", "w", encoding="utf-8", newline="\n") as file:
    file.write("{\n" + ",\n".join(f"  {json.dumps(key)}: {json.dumps(value)}" for key, value in golden.items()) + "\n}\n")
