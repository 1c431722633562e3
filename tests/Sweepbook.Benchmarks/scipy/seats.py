# SPDX-License-Identifier: MIT
"""Means, spread and extremes over seats by NumPy's own reductions along the first axis, without a loop in Python."""
import numpy


def load(folder):
    weights = numpy.fromfile(folder + "/weights.f64")
    return (numpy.fromfile(folder + "/values.f64").view(complex).reshape(len(weights), -1),
            numpy.fromfile(folder + "/powers.f64").reshape(len(weights), -1), weights)


def run(data):
    values, powers, weights = data
    levels = 10 * numpy.log10(powers)
    power_mean = 10 * numpy.log10(numpy.average(powers, axis=0, weights=weights))
    level_mean = numpy.average(levels, axis=0, weights=weights)
    spread = numpy.sqrt(numpy.average((levels - level_mean) ** 2, axis=0, weights=weights))
    pairs = numpy.average(values, axis=0, weights=weights).view(float)
    half = len(pairs) // 2
    return power_mean, level_mean, spread, levels.min(axis=0), levels.max(axis=0), pairs[:half], pairs[half:]
