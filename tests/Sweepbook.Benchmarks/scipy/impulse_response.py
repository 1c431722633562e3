# SPDX-License-Identifier: MIT
"""A take of two channels to its impulse response: the microphone's spectrum over the loopback's, weighted to the band of the sweep,
regularised outside that band only. What depends on the stimulus alone is made once, in load."""
import numpy
import scipy.fft


class Plan:
    pass


def load(folder):
    rate, past, start, end, seconds, level, low, high = numpy.loadtxt(folder + "/stimulus.txt")
    plan = Plan()
    plan.microphone, plan.loopback = (numpy.fromfile(f"{folder}/{name}.f64") for name in ("microphone", "loopback"))
    plan.past, plan.take = int(past), len(plan.microphone)
    plan.length = scipy.fft.next_fast_len(plan.past + plan.take, real=True)
    width = rate / plan.length
    frequency = numpy.arange(plan.length // 2 + 1) * width
    frequency[0] = 1  # never used
    amplitude = 10 ** (level / 20)
    plan.slope = (rate * amplitude / 2) ** 2 * seconds / numpy.log(end / start) / frequency
    above = min(1 / 6, numpy.log2(rate / 2 / high))
    part = numpy.where(frequency < low, numpy.log2(low / frequency) / 2, numpy.where(frequency > high, numpy.log2(frequency / high) / above, 0))
    plan.weight = numpy.where(part >= 1, 0, 0.5 + 0.5 * numpy.cos(numpy.pi * part))
    plan.weight[0] = 0
    used = numpy.flatnonzero(plan.weight)
    inside = numpy.flatnonzero((frequency >= start * 2 ** (1 / 6)) & (frequency <= end * 2 ** (-1 / 6)) & (numpy.arange(len(frequency)) > 0))
    first, last = inside[0], inside[-1]
    plan.below, plan.inside, plan.above = slice(used[0], first), slice(first, last + 1), slice(last + 1, used[-1] + 1)
    count = min(1000, last - first + 1)
    plan.picked = first + (last - first) * numpy.arange(count) // max(1, count - 1)
    return plan


def run(plan):
    divisor = scipy.fft.rfft(plan.loopback, plan.length, workers=1)
    bins = scipy.fft.rfft(plan.microphone, plan.length, workers=1)
    gains = numpy.sort(numpy.abs(divisor[plan.picked]) ** 2 / plan.slope[plan.picked])
    floor = gains[len(gains) // 2] * 10 ** (-20 / 10)
    inverse = numpy.zeros_like(divisor)
    inverse[plan.inside] = plan.weight[plan.inside] / divisor[plan.inside]
    for part in (plan.below, plan.above):
        power = divisor[part].real ** 2 + divisor[part].imag ** 2
        inverse[part] = plan.weight[part] * divisor[part].conj() / numpy.maximum(power, floor * plan.slope[part])
    circular = scipy.fft.irfft(bins * inverse, plan.length, workers=1)
    return numpy.concatenate((circular[-plan.past:], circular[:plan.take]))
