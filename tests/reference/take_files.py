# SPDX-License-Identifier: MIT
"""How the scripts beside this one write their files: WAV, text, tables, the description of an exponential sweep. No acoustics."""
import csv
import hashlib
import os
import wave

import numpy as np


def write_wav(path, channels, rate):
    """24-bit integers, by the standard library."""
    frames = np.stack(channels, axis=1)
    assert np.abs(frames).max() < 1, (path, np.abs(frames).max())
    codes = np.round(frames * 2 ** 23).astype("<i4")
    with wave.open(path, "wb") as out:
        out.setnchannels(len(channels))
        out.setsampwidth(3)
        out.setframerate(rate)
        out.writeframes(codes.reshape(-1, 1).view(np.uint8).reshape(-1, 4)[:, :3].tobytes())


def write_text(path, text):
    with open(path, "w", encoding="utf-8", newline="\n") as out:
        out.write(text)


def write_rows(path, header, rows):
    with open(path, "w", encoding="utf-8", newline="") as out:
        csv.writer(out, lineterminator="\n").writerows([header, *rows])


def write_stimulus(folder, name, channels, rate, design, level_dbfs, more=""):
    """The stimulus and, beside it, what it is; `design` holds f1, f2, sweep, lead, tail, fade_in and fade_out in hertz and seconds."""
    path = os.path.join(folder, "stimuli", f"{name}.wav")
    write_wav(path, channels, rate)
    with open(path, "rb") as wav:
        digest = hashlib.sha256(wav.read()).hexdigest()
    write_text(os.path.join(folder, "stimuli", f"{name}.toml"), f'''file = "{name}.wav"
sha256 = "{digest}"
kind = "exponential"
sample_rate_hz = {rate}
start_hz = {design["f1"]}
end_hz = {design["f2"]}
sweep_s = {design["sweep"]}
lead_in_s = {design["lead"]}
tail_s = {design["tail"]}
level_dbfs = {level_dbfs}
fade_in_s = {design["fade_in"]}
fade_out_s = {design["fade_out"]}
{more}''')
