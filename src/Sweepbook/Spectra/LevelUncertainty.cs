// SPDX-License-Identifier: MIT
namespace Sweepbook.Spectra;

/// <summary>What a repeatability was found from.</summary>
public enum RepeatabilityBasis
{
    /// <summary>Nothing is known: no repeats and no silence, or the level is an upper bound only.</summary>
    None,

    /// <summary>A single take: its measurement noise alone. Drift from take to take is not in it.</summary>
    Noise,

    /// <summary>What two or more repeats showed.</summary>
    Repeats,
}

/// <summary>How far a level may be off, by cause. A plain fact: where nothing is known every part is NaN.</summary>
/// <param name="RepeatabilityDb">± decibels that hold the level without noise and drift in 95 % of surveys: half the interval's width, for the mean of the repeats.</param>
/// <param name="Basis">What that was found from.</param>
/// <param name="MicrophoneDb">Standard uncertainty of the microphone's response, in decibels; NaN where nothing is stated about it.</param>
/// <param name="PositionDb">Standard uncertainty from a microphone that stands up to 5 cm off in each direction, in decibels.</param>
/// <param name="TemperatureDb">Standard uncertainty from air up to 1 °C warmer or colder, in decibels.</param>
/// <remarks>
/// Misleads when it is taken for the error of a difference: two levels of one survey share the errors of microphone and calibrator, and they cancel.
/// Source: JCGM 100:2008 (GUM), 5.1 and 6.2; which parts there are: own definition (design, "What may be believed").
/// </remarks>
public readonly record struct LevelUncertainty(double RepeatabilityDb, RepeatabilityBasis Basis, double MicrophoneDb, double PositionDb, double TemperatureDb)
{
    private const double CoverageFactor = 2;

    /// <summary>Standard uncertainty in decibels of where 0 dB lies: of the calibrator where levels are in dB re 20 µPa; 0 where they are relative, to the loopback for instance.</summary>
    public double LevelDb { get; init; }

    /// <summary>Nothing is known.</summary>
    public static LevelUncertainty Unknown => new(double.NaN, RepeatabilityBasis.None, double.NaN, double.NaN, double.NaN);

    /// <summary>U = 2 · √(Σ u²) in decibels, coverage factor 2; NaN where a part is not known.</summary>
    /// <remarks>
    /// Half of <see cref="RepeatabilityDb"/> counts as its standard uncertainty, so U is never smaller than the repeatability, even with few repeats.
    /// The position and temperature parts are models, not measurements; 95 % is what U is meant for, and nothing here proves it. Source: GUM 6.2.1.
    /// </remarks>
    public double ExpandedDb
    {
        get
        {
            var repeatability = RepeatabilityDb / CoverageFactor;
            return CoverageFactor * Math.Sqrt(repeatability * repeatability + MicrophoneDb * MicrophoneDb + PositionDb * PositionDb + TemperatureDb * TemperatureDb + LevelDb * LevelDb);
        }
    }
}
