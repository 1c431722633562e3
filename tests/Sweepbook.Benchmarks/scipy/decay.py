# SPDX-License-Identifier: MIT
"""Decay figures of 27 third octaves of a response at 48 kHz: reversed sosfilt, truncation, backward integration and fits, as Sweepbook.Decay does it."""
import numpy
from scipy import signal

RATE_HZ = 48000


def load(folder):
    edges = [[1000 * 10 ** (index / 10 + side) for side in (-0.05, 0.05)] for index in range(-16, 11)]
    bands = []
    for lower, upper in edges:
        sos = signal.butter(3, [lower, upper], "bandpass", fs=RATE_HZ, output="sos")
        poles = signal.butter(3, [lower, upper], "bandpass", fs=RATE_HZ, output="zpk")[1]
        ringing = int(numpy.ceil(numpy.log(1000) / -numpy.log(abs(poles)).max())) + 1
        power = signal.sosfilt(sos, numpy.eye(1, ringing)[0]) ** 2
        delay = (power * numpy.arange(ringing)).sum() / power.sum()
        rise = 1 + numpy.searchsorted(numpy.cumsum(power), 0.95 * power.sum())
        bands.append((sos, upper - lower, delay, rise))
    return numpy.fromfile(folder + "/response.f64"), bands


def line_through(energy, start, end, width, noise):
    """Least squares through the logarithms of intervals, then laid so that it holds their energy: power at sample 0, rate per sample."""
    end = min((len(energy) - 1) // width, int(end / width))
    first = max(0, min(max(0, int(numpy.ceil(start / width))), end - 3))
    end = max(end, first)
    mean = -numpy.diff(energy[first * width:end * width + 1:width]) / width - noise
    good = mean > 0
    if good.sum() < 2:
        return 0, 0
    at = numpy.arange(end - first)[good] + 0.5
    log = numpy.log(mean[good])
    at_mean = at.mean()
    rate = -((at - at_mean) * log).sum() / ((at - at_mean) ** 2).sum() / width
    held = mean.sum() * width
    return held * rate / (numpy.exp(-rate * first * width) - numpy.exp(-rate * end * width)), rate


def noise_tail(energy, bandwidth):
    count = len(energy) - 1
    last = int(0.9 * count)
    floor = energy[last] / (count - last)
    width = int(round(min(max(10 / bandwidth, 0.01), 0.05) * RATE_HZ))
    mean = -numpy.diff(energy[:count // width * width + 1:width]) / width
    peak = mean.argmax()
    low = mean[peak:] < 10 * floor
    end = peak + (low.argmax() if low.any() else len(low))
    power, rate = line_through(energy, peak * width, max(end, peak + 3) * width, width, 0)
    margin, stretch, step = numpy.log(10) * 0.75, numpy.log(10) * 2, numpy.log(10) * 0.2
    cut = numpy.log(power / floor) / rate
    for _ in range(6):
        start = int(min(max(cut + margin / rate, 0), last))
        floor = energy[start] / (count - start)
        noise = max(0, floor - power / rate * (numpy.exp(-rate * start) - numpy.exp(-rate * count)) / (count - start))
        if noise < 0.25 * floor:
            noise = 0
        bottom = min(count, (numpy.log(power / noise) - margin) / rate) if noise > 0 else count
        line = line_through(energy, bottom - stretch / rate, bottom, max(1, int(round(step / rate))), noise)
        if not line[1] > 0:
            break
        power, rate = line
        crossing = min(max(numpy.log(power / noise) / rate, 0), count) if noise > 0 else count
        moved, cut = abs(crossing - cut), crossing
        if moved < 0.001 * RATE_HZ:
            break
    return noise, noise if noise > 0 else energy[last] / (count - last), int(cut), rate, power


def t60(level, upper, lower):
    first = numpy.argmax(level <= upper)
    end = first + numpy.argmax(level[first:] < lower)
    if end - first < 3:
        return 0, 0
    stride = max(1, (end - first) // 512)
    part = level[first:end:stride]
    time = numpy.arange(len(part)) - (len(part) - 1) / 2
    slope = (time * part).sum() / (time ** 2).sum()
    nonlinearity = 1 - slope ** 2 * (time ** 2).sum() / ((part - part.mean()) ** 2).sum()
    return -60 * stride / slope / RATE_HZ, 1000 * nonlinearity


def between(curve, at):
    n = max(0, int(at))
    return curve[n] + max(0, at - n) * (curve[n + 1] - curve[n])


def figures(response, start, sos, bandwidth, delay, rise):
    band = signal.sosfilt(sos, response[::-1])[::-1][:len(response) - rise]
    square = band ** 2
    energy = numpy.zeros(len(square) - start + 1)
    numpy.cumsum(square[start:][::-1], out=energy[-2::-1])
    noise, floor, cut, rate, power = noise_tail(energy, bandwidth)
    curve = energy[:cut + 1] - energy[cut] - noise * numpy.arange(cut, -1, -1) + power * numpy.exp(-rate * cut) / rate
    before = max(0, square[:start].sum() - noise * start)
    whole = curve[0] + before
    level = 10 * numpy.log10(numpy.maximum(curve, 1e-300) / whole)
    reach = 10 * numpy.log10(whole * rate / floor)
    bottom = 10 - min(reach, 90)
    times = [t60(level, *limits) for limits in ((0, -10), (-5, -25), (-5, -35), (bottom + 20, bottom)) if level[0] > limits[1]]
    late50, late80 = (between(curve, limit * RATE_HZ - delay) / whole for limit in (0.05, 0.08))
    centre = (curve[1:].sum() + curve[-1] / rate) / whole + (before and ((square[:start] - noise) * numpy.arange(-start, 0)).sum() / whole) + delay
    return [time for time, _ in times], [nonlinearity for _, nonlinearity in times], 1 - late50, 1 - late80, centre / RATE_HZ, reach


def run(data):
    response, bands = data
    response = response[:len(response) - numpy.argmax(response[::-1] != 0)]
    magnitude = abs(response)
    start = int(numpy.argmax(magnitude >= max(0.1 * magnitude.max(), 5.5 * numpy.sqrt((response[int(0.9 * len(response)):] ** 2).mean()))))
    rows = []
    for band in bands:
        times, _, d50, d80, centre, _ = figures(response, start, *band)
        is_wide = band[1] * 0.05 >= 1
        rows.append([times[1], times[2], d50 * is_wide, d80 * is_wide, centre * is_wide])
    return rows
