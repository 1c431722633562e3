// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Spectra;

/// <summary>One frequency of a response, with everything that is needed to know whether to believe it.</summary>
/// <param name="FrequencyHz">Frequency in hertz.</param>
/// <param name="Value">Transfer function at exactly that frequency, linear; zero phase means arrival at time zero.</param>
/// <param name="PowerRatio">Mean squared magnitude over the grid cell round that frequency, linear.</param>
/// <param name="NoisePowerRatio">Expected squared magnitude of the measurement noise after the same processing, linear; NaN where unknown.</param>
/// <param name="LevelReason">Why the level is not trusted; no doubt where it is.</param>
/// <param name="PhaseReason">Why the phase is not trusted; no doubt where it is.</param>
/// <param name="IsCensored">True where the signal dips into the noise: the level is an upper bound.</param>
public readonly record struct ResponsePoint(
    double FrequencyHz, Complex Value, double PowerRatio, double NoisePowerRatio, Reason LevelReason, Reason PhaseReason, bool IsCensored)
{
    /// <summary>Level of the grid cell, 10 · lg(<see cref="PowerRatio"/>), in decibels.</summary>
    public double LevelDb => Decibels.FromPower(PowerRatio);

    /// <summary>Phase in degrees in (−180, 180], convention e^{+jωt}: a delay falls.</summary>
    public double PhaseDegrees => Value.Phase * (180 / Math.PI);

    /// <summary>Signal over noise in decibels; the noise contained in the reading is taken off first, and −20 dB is the least it says.</summary>
    public double SnrDb => double.IsNaN(NoisePowerRatio) ? double.NaN : Decibels.FromPower(Math.Max(PowerRatio / NoisePowerRatio - 1, LeastSnrRatio));

    /// <summary>True where the level may be believed.</summary>
    public bool TrustedLevel => LevelReason.Doubt == Doubt.None;

    /// <summary>True where phase and complex sums may be believed.</summary>
    public bool TrustedPhase => PhaseReason.Doubt == Doubt.None;

    /// <summary>How far the level may be off, by cause.</summary>
    public LevelUncertainty Uncertainty { get; init; } = LevelUncertainty.Unknown;

    private const double LeastSnrRatio = 0.01;
}
