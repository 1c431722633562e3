# SPDX-License-Identifier: MIT
"""Three small takes with known truth, by formulae and tools that share nothing with the C# code.

The sweep is its own formula; rooms are closed-form impulse responses (decaying sines, a few reflections); convolution is SciPy's; delays and the
microphone are exact factors in the frequency domain; random numbers are NumPy's. Nothing here is translated from the project, and nothing in the
project is translated from here.

    python3 tests/reference/make_takes.py tests/reference/takes
"""
import os
import sys

import numpy as np
from scipy.signal import fftconvolve

from take_files import write_rows, write_stimulus, write_text, write_wav

RATE = 44100
LEAD_IN, SWEEP, TAIL = 0.5, 1.0, 0.6            # seconds
START, END = 15.0, 20000.0                      # hertz
LEVEL = 10 ** (-10 / 20)                        # peak of the stimulus
LOOPBACK_GAIN = 10 ** (-2 / 20)
FREQUENCIES = [31.5, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0, 200.0, 400.0, 875.0, 1000.0, 2000.0, 4000.0, 8000.0, 14000.0]

# What each microphone adds, in dB: straight lines over log frequency, flat outside. The two files below state it with opposite signs.
ADDS = {
    "omni-1": [(20.0, -2.0), (60.0, -0.5), (300.0, 0.0), (875.0, 1.5), (3000.0, 0.2), (10000.0, 2.5), (18000.0, -1.0)],
    "omni-2": [(20.0, 1.0), (100.0, 0.3), (500.0, -0.2), (875.0, -1.5), (5000.0, 0.8), (18000.0, 3.0)],
}
SIGN = {"omni-1": "response", "omni-2": "correction"}

# Direct sound and reflections: (seconds, amplitude). Delays are deliberately no whole number of samples.
ROOMS = {
    "speaker": {"taps": [(0.0087654321, 0.20), (0.0112345678, -0.055), (0.0167891234, 0.045), (0.0301234567, 0.03)], "modes": []},
    # Decaying sines behind a common delay: (hertz, seconds to fall by 60 dB, amplitude in 1/s).
    "sub": {"taps": [], "delay": 0.0061234567, "modes": [(33.7, 0.45, 24.0), (41.9, 0.38, -15.0), (68.2, 0.30, 18.0), (97.5, 0.25, 21.0)]},
}
TAKES = [
    # file, source, seat, microphone, room, latency in samples, noise seed
    ("speaker_near_omni-1", "speaker", "near", "omni-1", "speaker", 311.37, 101),
    ("sub_near_omni-1", "sub", "near", "omni-1", "sub", 447.81, 102),
    ("speaker_near_omni-2", "speaker", "near", "omni-2", "speaker", 389.04, 103),
]
NOISE = 10 ** (-96 / 20)


def sweep():
    """sin(2 pi f1 L (exp(t / L) - 1)), faded by half cosines over 30 ms and 5 ms."""
    t = np.arange(round(SWEEP * RATE)) / RATE
    rate = SWEEP / np.log(END / START)
    x = LEVEL * np.sin(2 * np.pi * START * rate * np.expm1(t / rate))
    for seconds, side in ((0.03, slice(None)), (0.005, slice(None, None, -1))):
        n = round(seconds * RATE)
        x[side][:n] *= 0.5 - 0.5 * np.cos(np.pi * np.arange(n) / n)
    silence = [np.zeros(round(s * RATE)) for s in (LEAD_IN, TAIL)]
    return np.round(np.concatenate([silence[0], x, silence[1]]) * 2 ** 23) / 2 ** 23


def microphone_db(name, f):
    points = np.array(ADDS[name])
    return np.interp(np.log(np.maximum(f, 1e-9)), np.log(points[:, 0]), points[:, 1])


def filtered(x, response):
    """x through a frequency response, with room at the end so that nothing wraps round."""
    n = 4 * len(x)
    return np.fft.irfft(np.fft.rfft(x, n) * response(np.fft.rfftfreq(n, 1 / RATE)), n)[:len(x)]


def delay(f, seconds):
    return np.exp(-2j * np.pi * f * seconds)


def room_response(room, f):
    """Closed form: sum of delays; Laplace transform of the decaying sines."""
    h = sum((a * delay(f, t) for t, a in room["taps"]), np.zeros(len(f), complex))
    for f0, t60, a in room["modes"]:
        decay, w0, s = np.log(1000) / t60, 2 * np.pi * f0, 2j * np.pi * f
        h = h + a * w0 / ((s + decay) ** 2 + w0 ** 2) * delay(f, room["delay"])
    return h


def heard(x, room):
    """The same in time: decaying sines by SciPy's convolution, delays as exact phase turns."""
    y = filtered(x, lambda f: sum((a * delay(f, t) for t, a in room["taps"]), np.zeros(len(f), complex)))
    if room["modes"]:
        t = np.arange(2 * RATE) / RATE
        h = sum(a * np.exp(-np.log(1000) / t60 * t) * np.sin(2 * np.pi * f0 * t) for f0, t60, a in room["modes"]) / RATE
        y = y + filtered(fftconvolve(x, h)[:len(x)], lambda f: delay(f, room["delay"]))
    return y


def write_survey(folder):
    text = 'format = 1\ntitle = "Three takes made by SciPy"\n\n[[stimulus]]\nid = "short"\nfile = "stimuli/short.toml"\n'
    for name in ADDS:
        text += f'\n[[microphone]]\nid = "{name}"\ncalibration = "microphones/{name}.txt"\ncalibration_sign = "{SIGN[name]}"\n'
    text += '\n[[source]]\nid = "speaker"\nkind = "loudspeaker"\n\n[[source]]\nid = "sub"\nkind = "subwoofer"\n\n[[seat]]\nid = "near"\n'
    text += '\n[take-defaults]\nstimulus = "short"\nmicrophone_channel = 1\nreference_channel = 2\ntime_zero = "loopback"\nfield = "room"\n'
    for file, source, seat, microphone, *_ in TAKES:
        text += f'\n[[take]]\nfile = "takes/{file}.wav"\nsources = ["{source}"]\nseat = "{seat}"\nmicrophone = "{microphone}"\n'
    write_text(os.path.join(folder, "survey.toml"), text)
    for name, points in ADDS.items():
        turn = 1 if SIGN[name] == "response" else -1
        what = "what the microphone adds" if turn == 1 else "what has to be added to its reading"
        rows = "".join(f"{f:.1f} {turn * level:.2f}\n" for f, level in points)
        write_text(os.path.join(folder, "microphones", f"{name}.txt"), f"{name}: {what} (Hz, dB)\n{rows}")


def main(folder):
    for sub in ("takes", "stimuli", "microphones"):
        os.makedirs(os.path.join(folder, sub), exist_ok=True)
    x = sweep()
    write_survey(folder)
    write_stimulus(folder, "short", [x], RATE, dict(f1=START, f2=END, sweep=SWEEP, lead=LEAD_IN, tail=TAIL, fade_in=0.03, fade_out=0.005), -10.0)
    arrivals, responses = [], []
    for file, source, seat, microphone, room_name, latency, seed in TAKES:
        room, random = ROOMS[room_name], np.random.default_rng(seed)
        late = filtered(x, lambda f: delay(f, latency / RATE))
        capsule = lambda f: 10 ** (microphone_db(microphone, f) / 20)
        recorded = filtered(heard(late, room), capsule) + NOISE * random.standard_normal(len(x))
        loopback = LOOPBACK_GAIN * late + NOISE * random.standard_normal(len(x))
        write_wav(os.path.join(folder, "takes", f"{file}.wav"), [recorded, loopback], RATE)
        if room["taps"]:
            arrivals.append([f"takes/{file}.wav", f"{1000 * room['taps'][0][0]:.6f}"])
        f = np.array(FREQUENCIES if room["taps"] else [g for g in FREQUENCIES if g <= 200])
        h = room_response(room, f)
        for g, value, adds in zip(f, h, microphone_db(microphone, f)):
            level = 20 * np.log10(abs(value))
            responses.append([f"takes/{file}.wav", f"{g:g}", f"{level:.4f}", f"{level + 2:.4f}", f"{np.degrees(np.angle(value)):.3f}", f"{adds:.4f}"])
    for name, header, rows in (
        ("expected-arrivals.csv", ["take", "arrival_ms"], arrivals),
        ("expected-responses.csv", ["take", "frequency_hz", "level_over_stimulus_db", "level_over_loopback_db", "phase_deg", "microphone_adds_db"], responses),
    ):
        write_rows(os.path.join(folder, name), header, rows)


if __name__ == "__main__":
    main(sys.argv[1])
