# SPDX-License-Identifier: MIT
"""Six takes without a loopback, timed by a marker, recorded on a clock of their own; with known truth.

Sweeps and markers are their own formulae; rooms are closed-form factors in the frequency domain (delays between samples, decaying sines); the wrong
clock is a chirp transform: the Fourier series of the sound, summed exactly at the recorder's own instants, with no interpolating filter anywhere.
Random numbers are NumPy's. Nothing here is translated from the project, and nothing in the project is translated from here.

    python3 tests/reference/make_marker_takes.py tests/reference/marker-takes
"""
import os
import sys

import numpy as np
from scipy.fft import next_fast_len

from take_files import write_rows, write_stimulus, write_text, write_wav

RATE = 32000
LEVEL = 10 ** (-10 / 20)                        # peak of sweep and marker
MARKER = dict(start=0.4, length=0.3, f1=2000.0, f2=12000.0)
SOUND = 343.2146                                # m/s in air of 20 degrees Celsius: 331.3 sqrt(1 + 20 / 273.15)
NOISE = 10 ** (-78 / 20)                        # rms over full scale, white

# seconds: lead-in, sweep, tail, where the marker comes again, fades
STIMULI = {
    "bass": dict(f1=10.0, f2=500.0, lead=1.4, sweep=3.5, tail=1.5, repeat=5.6, fade_in=0.1, fade_out=0.02),
    "full": dict(f1=15.0, f2=14000.0, lead=1.4, sweep=1.6, tail=1.4, repeat=3.7, fade_in=0.03, fade_out=0.005),
}
# The marker's path to each seat: (seconds, amplitude), direct sound first. On the right a reflection follows within 0.4 ms, as strong as the direct sound.
MARKER_PATHS = {
    "left": [(0.0071234567, 0.16), (0.0093456789, -0.07), (0.0131212121, 0.06), (0.0207070707, 0.05), (0.0311111111, -0.03)],
    "right": [(0.0090123456, 0.10), (0.0093876543, 0.10), (0.0140404040, 0.08), (0.0223344556, -0.04), (0.0411223344, 0.03)],
}
# A source's path to each seat. Decaying sines (hertz, seconds to fall by 60 dB, amplitude in 1/s) behind a delay; or taps as above.
PATHS = {
    ("sub-a", "left"): dict(delay=0.0081234567, modes=[(29.3, 0.40, 30.0), (43.1, 0.35, -18.0), (71.7, 0.28, 26.0), (118.0, 0.22, 40.0), (260.0, 0.16, -60.0)]),
    ("sub-b", "left"): dict(delay=0.0129876543, modes=[(29.3, 0.40, -14.0), (43.1, 0.35, 22.0), (71.7, 0.28, 17.0), (118.0, 0.22, -35.0), (310.0, 0.15, 70.0)]),
    ("sub-a", "right"): dict(delay=0.0104567891, modes=[(29.3, 0.40, 21.0), (55.0, 0.33, 24.0), (71.7, 0.28, -19.0), (140.0, 0.20, 45.0), (280.0, 0.16, 55.0)]),
    ("sub-b", "right"): dict(delay=0.0066554433, modes=[(29.3, 0.40, 25.0), (43.1, 0.35, 12.0), (90.0, 0.25, 33.0), (140.0, 0.20, -30.0), (240.0, 0.17, 50.0)]),
    ("main", "left"): dict(taps=[(0.0087654321, 0.20), (0.0112345678, -0.055), (0.0167891234, 0.045), (0.0301234567, 0.03)]),
    ("main", "right"): dict(taps=[(0.0101357913, 0.18), (0.0124681357, 0.06), (0.0203030303, -0.05), (0.0352525252, 0.025)]),
}
# source, seat, stimulus, by how many millionths the recorder's clock is fast, seconds from the start of playing to that of recording, noise seed
TAKES = [
    ("sub-a", "left", "bass", -173.3, -0.2718281828, 201),
    ("sub-b", "left", "bass", 41.7, 0.2236067977, 202),
    ("sub-a", "right", "bass", 200.0, -0.1414213562, 203),
    ("sub-b", "right", "bass", 0.0, 0.0577350269, 204),
    ("main", "left", "full", -173.3, 0.1010203040, 205),
    ("main", "right", "full", 200.0, -0.2998001234, 206),
]
FREQUENCIES = {
    "bass": [12.5, 16.0, 20.0, 25.0, 31.5, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0, 160.0, 200.0, 250.0, 315.0, 400.0],
    "full": [31.5, 63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0, 10000.0, 12000.0],
}
AFTER = 0.1                                     # the recorder runs on for so long


def chirp(f1, f2, seconds, fade_in, fade_out):
    """sin(2 pi f1 L (exp(t / L) - 1)) with half-cosine fades."""
    n = round(seconds * RATE)
    t = np.arange(n) / RATE
    grow = seconds / np.log(f2 / f1)
    x = LEVEL * np.sin(2 * np.pi * f1 * grow * np.expm1(t / grow))
    for length, turned in ((round(fade_in * RATE), False), (round(fade_out * RATE), True)):
        ramp = 0.5 - 0.5 * np.cos(np.pi * np.arange(length) / length)
        if turned:
            x[n - length:] *= ramp[::-1]
        else:
            x[:length] *= ramp
    return np.round(x * 2 ** 23) / 2 ** 23


def stimulus(design):
    """Sweep and marker, one channel each."""
    total = round((design["lead"] + design["sweep"] + design["tail"]) * RATE)
    sweep, marker = np.zeros(total), np.zeros(total)
    x = chirp(design["f1"], design["f2"], design["sweep"], design["fade_in"], design["fade_out"])
    first = round(design["lead"] * RATE)
    sweep[first:first + len(x)] = x
    m = chirp(MARKER["f1"], MARKER["f2"], MARKER["length"], 0.1 * MARKER["length"], 0.1 * MARKER["length"])
    for begin in (MARKER["start"], design["repeat"]):
        first = round(begin * RATE)
        marker[first:first + len(m)] = m
    return sweep, marker


def transfer(path, f):
    """Delays turn the phase; a decaying sine has the Laplace transform a w0 / ((s + d)^2 + w0^2)."""
    if "taps" in path:
        return sum(a * np.exp(-2j * np.pi * f * t) for t, a in path["taps"])
    h, s = np.zeros(len(f), complex), 2j * np.pi * f
    for f0, t60, a in path["modes"]:
        d, w0 = np.log(1000) / t60, 2 * np.pi * f0
        h = h + a * w0 / ((s + d) ** 2 + w0 ** 2)
    return h * np.exp(-2j * np.pi * f * path["delay"])


def summed_at(spectrum, n, first, step, count):
    """The Fourier series of n samples at the instants first + step k (in samples): Bluestein's chirp transform, its phases in long doubles."""
    bins = len(spectrum)
    k = np.arange(bins)
    weights = np.where((k == 0) | (k == n // 2), 1.0, 2.0) / n
    turn = np.longdouble(step) / n

    def half_squares(m):
        cycles = np.asarray(m, np.longdouble) ** 2 / 2 * turn
        return np.exp(2j * np.pi * np.asarray(cycles - np.floor(cycles), float))

    start = np.asarray(np.longdouble(first) * k / n, np.longdouble)
    a = spectrum * weights * np.exp(2j * np.pi * np.asarray(start - np.floor(start), float)) * half_squares(k)
    length = next_fast_len(bins + count)
    kernel = np.zeros(length, complex)
    kernel[:count] = np.conj(half_squares(np.arange(count)))
    kernel[length - bins + 1:] = np.conj(half_squares(np.arange(1, bins)))[::-1]
    padded = np.zeros(length, complex)
    padded[:bins] = a
    return (np.fft.ifft(np.fft.fft(padded) * np.fft.fft(kernel))[:count] * half_squares(np.arange(count))).real


def marker_words(design):
    return f'''marker_output = "marker"

[device_outputs]
sweep = 1
marker = 2

[marker]
start_s = {MARKER["start"]}
length_s = {MARKER["length"]}
start_hz = {MARKER["f1"]}
end_hz = {MARKER["f2"]}
repeat_start_s = {design["repeat"]}
'''


def write_survey(folder):
    text = 'format = 1\ntitle = "Six marked takes made by SciPy"\n'
    for name in STIMULI:
        text += f'\n[[stimulus]]\nid = "{name}"\nfile = "stimuli/{name}.toml"\n'
    text += '\n[[microphone]]\nid = "omni"\n'
    for source, kind in (("sub-a", "subwoofer"), ("sub-b", "subwoofer"), ("main", "loudspeaker")):
        text += f'\n[[source]]\nid = "{source}"\nkind = "{kind}"\n'
    for seat in MARKER_PATHS:
        text += f'\n[[seat]]\nid = "{seat}"\n'
    text += '\n[take-defaults]\nmicrophone = "omni"\nmicrophone_channel = 1\ntime_zero = "marker"\nfield = "room"\n'
    for source, seat, name, *_ in TAKES:
        text += f'\n[[take]]\nfile = "takes/{source}_{seat}.wav"\nsources = ["{source}"]\nseat = "{seat}"\nstimulus = "{name}"\n'
    write_text(os.path.join(folder, "survey.toml"), text)


def main(folder):
    for sub in ("takes", "stimuli"):
        os.makedirs(os.path.join(folder, sub), exist_ok=True)
    write_survey(folder)
    channels = {name: stimulus(design) for name, design in STIMULI.items()}
    for name, design in STIMULI.items():
        write_stimulus(folder, name, channels[name], RATE, design, -10.0, marker_words(design))
    truths, responses = [], []
    for source, seat, name, ppm, start, seed in TAKES:
        sweep, marker = channels[name]
        n = next_fast_len(3 * len(sweep), real=True)
        n += n % 2
        f = np.fft.rfftfreq(n, 1 / RATE)
        path, marked = PATHS[source, seat], dict(taps=MARKER_PATHS[seat])
        spectrum = np.fft.rfft(sweep, n) * transfer(path, f) + np.fft.rfft(marker, n) * transfer(marked, f)
        fast = 1 + ppm * 1e-6
        count = int((len(sweep) / RATE - start + AFTER) * RATE * fast)
        heard = summed_at(spectrum, n, start * RATE, 1 / fast, count)
        write_wav(os.path.join(folder, "takes", f"{source}_{seat}.wav"), [heard + NOISE * np.random.default_rng(seed).standard_normal(count)], RATE)

        file, arrival = f"takes/{source}_{seat}.wav", marked["taps"][0][0]
        own = path["taps"][0][0] if "taps" in path else path["delay"]
        samples = [(begin + arrival - start) * RATE * fast for begin in (MARKER["start"], STIMULI[name]["repeat"])]
        truths.append([file, f"{ppm:.1f}", f"{1000 * start:.7f}", *(f"{sample:.6f}" for sample in samples), f"{1000 * arrival:.7f}", f"{arrival * SOUND:.6f}",
                       f"{1000 * own:.7f}", f"{1000 * (own - arrival):.7f}"])
        g = np.array(FREQUENCIES[name])
        h = transfer(path, g)
        for hz, value, later in zip(g, h, h * np.exp(2j * np.pi * g * arrival)):
            responses.append([file, f"{hz:g}", f"{20 * np.log10(abs(value)):.4f}", f"{np.degrees(np.angle(value)):.3f}", f"{np.degrees(np.angle(later)):.3f}"])
    for name, header, rows in (
        ("expected-takes.csv", ["take", "recorder_ppm", "recording_starts_ms", "marker_at_samples", "repeat_at_samples", "marker_delay_ms", "marker_distance_m",
                                "source_delay_ms", "source_after_marker_ms"], truths),
        ("expected-responses.csv", ["take", "frequency_hz", "level_db", "phase_deg", "phase_from_marker_deg"], responses),
    ):
        write_rows(os.path.join(folder, name), header, rows)


if __name__ == "__main__":
    main(sys.argv[1])
