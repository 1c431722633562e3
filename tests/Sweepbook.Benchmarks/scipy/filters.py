#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""27 third-octave bands, 25 Hz to 10 kHz, of 2 s at 48 kHz by sosfiltfilt: the same class 1 zero-phase filters as ThirdOctaveBankOrSciPy."""
import statistics
import time

import numpy as np
from scipy import signal

RATE_HZ, RUNS = 48000, 9


def band(index):
    """Two pole pairs, wider, so that both passes together keep the class 1 limits (see BandFilter)."""
    lower, upper = (np.tan(np.pi * 1000 * 10 ** (index / 10 + side) / RATE_HZ) for side in (-0.05, 0.05))
    width = (upper - lower) / (0.75 * (np.pi / 4) / np.sin(np.pi / 4))
    low = -width / 2 + np.sqrt(width ** 2 / 4 + lower * upper)
    return signal.butter(2, [np.arctan(w) / np.pi * RATE_HZ for w in (low, low + width)], "bandpass", fs=RATE_HZ, output="sos")


bands = [band(index) for index in range(-16, 11)]
response = 2 * np.random.default_rng(1).random(96_000) - 1
times = []
for run in range(RUNS + 1):
    start = time.perf_counter()
    results = [signal.sosfiltfilt(sos, response) for sos in bands]
    if run > 0:
        times.append(time.perf_counter() - start)
print(f"sosfiltfilt, 27 bands: median {1000 * statistics.median(times):.2f} ms of {RUNS}, least {1000 * min(times):.2f} ms")
