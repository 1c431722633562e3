# SPDX-License-Identifier: MIT
"""Tiny WAV files and what SciPy reads from them, for the WAV tests. Run from any folder: python3 tests/reference/make_wav.py

SciPy writes what it can write (16- and 32-bit integer, 32- and 64-bit float); 24-bit and extensible headers are packed here.
The CSV beside each file holds one row per frame, one column per channel, full scale 1: what scipy.io.wavfile.read returns,
divided by full scale where it is integer (SciPy puts 24-bit samples into the upper bits of 32).
"""
import pathlib
import struct

import numpy as np
from scipy.io import wavfile

FOLDER = pathlib.Path(__file__).parent / "wav"
RATE = 44100
FRAMES = 25  # odd: with 24 bits in one channel a pad byte follows
PCM_GUID = struct.pack("<IHH8B", 1, 0, 0x10, 0x80, 0, 0, 0xAA, 0, 0x38, 0x9B, 0x71)
FLOAT_GUID = struct.pack("<IHH8B", 3, 0, 0x10, 0x80, 0, 0, 0xAA, 0, 0x38, 0x9B, 0x71)


def signal(channels):
    """Values in [-1, 1) with both ends, zero and the smallest steps among them."""
    n = np.arange(FRAMES)[:, None]
    x = 0.9 * np.sin(0.7 * n * (1 + np.arange(channels)) + 0.3)
    x[0], x[1], x[2], x[3] = -1.0, 0.0, 2.0**-23, -(2.0**-23)
    return x


def codes(channels, bits):
    return np.clip(np.rint(signal(channels) * 2 ** (bits - 1)), -(2 ** (bits - 1)), 2 ** (bits - 1) - 1).astype(np.int64)


def pack(name, channels, bits, data, tag=1, guid=None, valid_bits=None):
    """A RIFF file by hand."""
    frame = channels * bits // 8
    fmt = struct.pack("<HHIIHH", 0xFFFE if guid else tag, channels, RATE, RATE * frame, frame, bits)
    if guid:
        fmt += struct.pack("<HHI", 22, valid_bits or bits, 0) + guid
    body = b"WAVE" + b"fmt " + struct.pack("<I", len(fmt)) + fmt + b"data" + struct.pack("<I", len(data)) + data + b"\0" * (len(data) % 2)
    (FOLDER / f"{name}.wav").write_bytes(b"RIFF" + struct.pack("<I", len(body)) + body)


def bytes24(values):
    return b"".join(int(v).to_bytes(3, "little", signed=True) for v in values.ravel())


def expect(name):
    """What SciPy reads, beside the file."""
    rate, data = wavfile.read(FOLDER / f"{name}.wav")
    assert rate == RATE
    data = data.reshape(FRAMES, -1)
    full_scale = {np.dtype("int16"): 2.0**15, np.dtype("int32"): 2.0**31}.get(data.dtype, 1.0)
    rows = "\n".join(",".join(repr(float(v) / full_scale) for v in row) for row in data)
    (FOLDER / f"{name}.csv").write_text(rows + "\n", encoding="ascii")


def main():
    FOLDER.mkdir(exist_ok=True)
    wavfile.write(FOLDER / "integer16-stereo.wav", RATE, codes(2, 16).astype(np.int16))
    wavfile.write(FOLDER / "integer32-mono.wav", RATE, codes(1, 32).astype(np.int32))
    wavfile.write(FOLDER / "float32-stereo.wav", RATE, (2.5 * signal(2)).astype(np.float32))
    wavfile.write(FOLDER / "float64-mono.wav", RATE, signal(1))
    pack("integer24-stereo", 2, 24, bytes24(codes(2, 24)))
    pack("integer24-mono-odd", 1, 24, bytes24(codes(1, 24)))
    pack("extensible24-five", 5, 24, bytes24(codes(5, 24)), guid=PCM_GUID)
    pack("extensible24in32-stereo", 2, 32, (codes(2, 24) * 256).astype("<i4").tobytes(), guid=PCM_GUID, valid_bits=24)
    pack("extensible-float32-three", 3, 32, signal(3).astype("<f4").tobytes(), guid=FLOAT_GUID)
    for wav in sorted(FOLDER.glob("*.wav")):
        expect(wav.stem)


if __name__ == "__main__":
    main()
