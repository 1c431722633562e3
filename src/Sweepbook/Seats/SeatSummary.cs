// SPDX-License-Identifier: MIT
namespace Sweepbook.Seats;

/// <summary>The seats over a whole band, in three numbers; NaN in all three where no frequency of the band is trusted at every seat.</summary>
/// <remarks>
/// Means over frequency count every trusted grid point once. The grid is logarithmic, so every octave weighs alike: 20 to 40 Hz as much as 60 to 120 Hz.
/// Compare only numbers of the same band and divisor.
/// Source: T. Welti, A. Devantier, "Low-Frequency Optimization Using Multiple Subwoofers", J. Audio Eng. Soc. 54 (2006) 347–364; the definitions
/// are from memory (fact sheet 9.1).
/// </remarks>
public readonly record struct SeatSummary
{
    /// <summary>Lowest trusted frequency that counted, in hertz; NaN where there is none.</summary>
    public double FromHz { get; init; }

    /// <summary>Highest trusted frequency that counted, in hertz; NaN where there is none.</summary>
    public double ToHz { get; init; }

    /// <summary>Number of grid points that counted.</summary>
    public int Points { get; init; }

    /// <summary>How many of them hold a seat that dips into the noise.</summary>
    public int CensoredPoints { get; init; }

    /// <summary>What the deviations of the seats were divided by.</summary>
    public SpreadDivisor Divisor { get; init; }

    /// <summary>Mean over frequency of the variance of level over the seats, in dB²: how differently the seats hear.</summary>
    public double MeanSpatialVarianceDb2 { get; init; }

    /// <summary>Variance over frequency of the level mean over the seats, in dB², divided by the number of points: how uneven the seats hear together.</summary>
    /// <remarks>An equaliser for all seats can lower this number and cannot lower the other. Where points are censored it is neither an upper nor a lower bound.</remarks>
    public double VarianceOfSpatialMeanDb2 { get; init; }

    /// <summary>Mean over frequency of the level mean over the seats, in decibels.</summary>
    public double MeanLevelDb { get; init; }

    /// <summary>True where the mean spatial variance is a lower bound, because a seat dips into the noise somewhere in the band.</summary>
    public bool IsLowerBound => CensoredPoints > 0;
}

/// <summary>How far one seat is from the level mean of the others over a band.</summary>
/// <param name="Seat">Name of the seat.</param>
/// <param name="MeanDb">Mean over frequency of its level less theirs, in decibels; above zero it is louder.</param>
/// <param name="RmsDb">Root mean square of the same difference, in decibels; NaN where nothing is trusted.</param>
public readonly record struct SeatDeviation(string Seat, double MeanDb, double RmsDb);
