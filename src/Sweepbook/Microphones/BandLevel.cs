// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Microphones;

/// <summary>The sound pressure level in one band.</summary>
/// <param name="Band">The band.</param>
/// <param name="LevelDb">Decibels re 20 µPa, unweighted.</param>
public readonly record struct BandLevel(FrequencyBand Band, double LevelDb);
