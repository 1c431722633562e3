# SPDX-License-Identifier: MIT
"""Takes of five microphones that took turns at one place, with planted deviations in closed form.

The sound is a few delayed impulses; a microphone is a product of analogue factors H(s) at s = j omega (vent, resonance, shelf), multiplied in the frequency
domain; setting a microphone up again moves every delay by some microseconds. No digital filter, no bilinear transform, no cookbook formula anywhere.
Random numbers are NumPy's. Nothing here is translated from the project, and nothing in the project is translated from here.

    python3 tests/reference/make_microphone_takes.py tests/reference/microphone-takes
"""
import os
import sys

import numpy as np
from scipy.fft import next_fast_len
from scipy.integrate import quad

from take_files import write_rows, write_stimulus, write_text, write_wav

RATE = 48000
LEVEL = 10 ** (-12 / 20)                        # peak of the sweep
SWEEP = dict(f1=12.0, f2=21000.0, lead=0.25, sweep=1.1, tail=0.25, fade_in=0.12, fade_out=0.003)
NOISE = 10 ** (-92 / 20)                        # rms over full scale, white
PATH = [(0.0041234567, 0.50), (0.0069876543, -0.11), (0.0102030405, 0.08), (0.0191817161, 0.05)]   # seconds, amplitude
SHIFT = 2e-6                                    # seconds: standard deviation of each delay when a microphone is set up again, 0.7 mm
MATCH = (300.0, 3000.0)                         # hertz: here deviations are made equal, as mean of the decibels over log frequency


def vent(hz):
    return lambda s: s / (s + 2 * np.pi * hz)


def resonance(hz, gain_db, q):
    """(s^2 + g s w/q + w^2) / (s^2 + s w/q + w^2): the gain g at its centre."""
    w, g = 2 * np.pi * hz, 10 ** (gain_db / 20)
    return lambda s: (s * s + g * s * w / q + w * w) / (s * s + s * w / q + w * w)


def low_shelf(hz, gain_db):
    """First order: g far below, 1 far above, the root of g at the frequency."""
    w, g = 2 * np.pi * hz, 10 ** (gain_db / 20)
    return lambda s: (s + np.sqrt(g) * w) / (s + w / np.sqrt(g))


def high_shelf(hz, gain_db):
    """Second order: 1 far below, g far above; two equal first-order steps."""
    w, g = 2 * np.pi * hz, 10 ** (gain_db / 40)
    return lambda s: ((w + s * np.sqrt(g)) / (w + s / np.sqrt(g))) ** 2


# name: what its calibration file states (none where empty), what the file does not know, sensitivity re the reference in dB, day of the file
MICROPHONES = {
    "reference": ([vent(3.0), resonance(15500.0, 1.5, 1.2)], [], 0.0, "2026-03-02"),
    "hot": ([vent(4.0), resonance(12000.0, 2.0, 1.0)], [high_shelf(11500.0, 2.8)], -2.7, "2015-05-20"),
    "tired": ([vent(5.0), resonance(10500.0, 1.4, 0.9)], [low_shelf(45.0, -3.4), high_shelf(12500.0, 2.6)], 4.1, "2008-10-01"),
    "cheap": ([], [vent(4.0), resonance(6500.0, 3.6, 1.1), high_shelf(15000.0, -6.0)], -6.3, None),
    "good": ([vent(4.0), resonance(14000.0, 1.8, 1.0)], [high_shelf(14000.0, 0.4)], -1.2, "2025-09-15"),
}
TAKES = [("reference", 1), ("hot", 1), ("tired", 1), ("reference", 2), ("cheap", 1), ("good", 1)]
OCTAVES = [31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000]
THIRDS = [25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600, 2000, 2500, 3150, 4000, 5000, 6300, 8000, 10000, 12500, 16000]
OCTAVES_AT, THIRDS_AT = [1000 * 10 ** (0.3 * k) for k in range(-5, 4)], [1000 * 10 ** (0.1 * k) for k in range(-16, 13)]   # exact centres, base ten


def product(factors, f):
    h = np.ones(np.shape(f), complex)
    for factor in factors:
        h = h * factor(2j * np.pi * np.asarray(f))
    return h


def left_db(name, f):
    """What a reading is off by when the calibration file was applied."""
    return 20 * np.log10(np.abs(product(MICROPHONES[name][1], f)))


def over_log(function, low, high):
    return quad(lambda x: function(np.exp(x)), np.log(low), np.log(high), epsabs=1e-9)[0] / np.log(high / low)


def expected(name, centre, fraction):
    """Power mean over the band, the same on either side, less what the middle band takes out."""
    edge = 10 ** (0.15 / fraction)
    power = over_log(lambda f: 10 ** (left_db(name, f) / 10), centre / edge, centre * edge)
    return 10 * np.log10(power) - over_log(lambda f: left_db(name, f), *MATCH)


def chirp(design):
    n = round(design["sweep"] * RATE)
    t = np.arange(n) / RATE
    grow = design["sweep"] / np.log(design["f2"] / design["f1"])
    x = LEVEL * np.sin(2 * np.pi * design["f1"] * grow * np.expm1(t / grow))
    for length, turned in ((round(design["fade_in"] * RATE), False), (round(design["fade_out"] * RATE), True)):
        ramp = 0.5 - 0.5 * np.cos(np.pi * np.arange(length) / length)
        if turned:
            x[n - length:] *= ramp[::-1]
        else:
            x[:length] *= ramp
    return np.round(x * 2 ** 23) / 2 ** 23


def file_name(name, repeat):
    return f"takes/{name}.wav" if repeat == 1 else f"takes/{name}_{repeat}.wav"


def survey():
    text = 'format = 1\ntitle = "Five microphones made by SciPy"\ndate = 2026-11-28\n\n[[stimulus]]\nid = "wide"\nfile = "stimuli/wide.toml"\n'
    for name, (stated, _, _, day) in MICROPHONES.items():
        text += f'\n[[microphone]]\nid = "{name}"\nlowest_hz = 14.0\nhighest_hz = 20000.0\ntolerance_db = 2.0\n'
        if stated:
            text += f'calibration = "microphones/{name}.txt"\ncalibration_sign = "response"\ncalibrated_on = {day}\n'
        if name == "reference":
            text += "reference = true\n"
    text += '\n[[source]]\nid = "main"\nkind = "loudspeaker"\n\n[[seat]]\nid = "bench"\n'
    text += '\n[take-defaults]\nsources = ["main"]\nseat = "bench"\ntime_zero = "unknown"\n'
    for name, repeat in TAKES:
        text += f'\n[[take]]\nfile = "{file_name(name, repeat)}"\nmicrophone = "{name}"\n'
    return text


def main(folder):
    for sub in ("takes", "stimuli", "microphones"):
        os.makedirs(os.path.join(folder, sub), exist_ok=True)
    write_text(os.path.join(folder, "survey.toml"), survey())
    x = np.zeros(round((SWEEP["lead"] + SWEEP["sweep"] + SWEEP["tail"]) * RATE))
    first = round(SWEEP["lead"] * RATE)
    sweep = chirp(SWEEP)
    x[first:first + len(sweep)] = sweep
    write_stimulus(folder, "wide", [x], RATE, SWEEP, -12.0)
    for name, (stated, _, _, _) in MICROPHONES.items():
        if stated:
            f = 14.0 * (20000 / 14.0) ** np.linspace(0, 1, 241)
            rows = "".join(f"{hz:.3f}\t{level:.3f}\n" for hz, level in zip(f, 20 * np.log10(np.abs(product(stated, f)))))
            write_text(os.path.join(folder, "microphones", f"{name}.txt"), f"* {name}: what the microphone adds\n{rows}")
    n = next_fast_len(4 * len(x), real=True)
    f = np.fft.rfftfreq(n, 1 / RATE)
    spectrum = np.fft.rfft(x, n)
    for k, (name, repeat) in enumerate(TAKES):
        random = np.random.default_rng(700 + k)
        sound = sum(a * np.exp(-2j * np.pi * f * (t + SHIFT * random.standard_normal())) for t, a in PATH)
        stated, since, more_db, _ = MICROPHONES[name]
        heard = np.fft.irfft(spectrum * sound * product(stated + since, f) * 10 ** (more_db / 20), n)[:len(x)]
        write_wav(os.path.join(folder, file_name(name, repeat)), [heard + NOISE * random.standard_normal(len(x))], RATE)
    rows = []
    for name in MICROPHONES:
        if name == "reference":
            continue
        rows += [[name, "octave", f"{c:g}", f"{expected(name, at, 1):.4f}"] for c, at in zip(OCTAVES, OCTAVES_AT)]
        rows += [[name, "third", f"{c:g}", f"{expected(name, at, 3):.4f}"] for c, at in zip(THIRDS, THIRDS_AT)]
    write_rows(os.path.join(folder, "expected-deviations.csv"), ["microphone", "bandwidth", "band_hz", "deviation_db"], rows)


if __name__ == "__main__":
    main(sys.argv[1])
