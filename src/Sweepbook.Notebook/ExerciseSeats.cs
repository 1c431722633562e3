// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Seats;

namespace Sweepbook.Notebook;

public sealed partial class Exercise
{
    private const double LevelDb = 0.06;   // one decimal place, with a little room for rounding the levels first

    /// <summary>Which level has the mean power of the seats at one frequency? In decibels, within 0.06 dB.</summary>
    /// <param name="seats">The seats of one source.</param>
    /// <param name="frequencyHz">The frequency in hertz; the nearest one of the grid is taken.</param>
    /// <returns>The exercise; it cannot tell where not every seat is trusted.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The frequency is not above zero and finite.</exception>
    /// <remarks>Source: as for <see cref="SeatSet.PowerMeanDb"/>.</remarks>
    public static Exercise PowerMean(SeatSet seats, double frequencyHz)
    {
        var (levels, weights, point) = At(seats, frequencyHz);
        var total = weights.Sum();
        var sum = Weighted(levels.Select(Decibels.ToPowerRatio), weights);
        return new("The power mean", point.PowerMeanDb, AnswerUnit.Decibels, LevelDb,
            "Turn each level into a power, 10^(L/10). Take their mean with the weights of the seats. Turn that back into decibels.",
            "It is the level of the energy that reaches the listeners together, and the loudest seat has most of it.",
            new(point.LevelMeanDb, "That is the mean of the decibels. It weighs a dip as much as a peak; energy does not."),
            new(levels.Average(), "That is the mean of the decibels, and without the weights of the seats."),
            new(Decibels.FromPower(levels.Average(Decibels.ToPowerRatio)), "Powers were averaged, as they should be, but every seat was counted alike: two of them have less weight."),
            new(Decibels.FromPower(sum), "That is the sum of the powers; a mean is divided by the sum of the weights."),
            new(Decibels.FromPower(levels.Sum(Decibels.ToPowerRatio)), "That is the plain sum of the powers, not their mean."),
            new(Decibels.FromAmplitude(Weighted(levels.Select(Decibels.ToAmplitudeRatio), weights) / total), "That averages pressures, 10^(L/20); power goes with 10^(L/10)."));
    }

    /// <summary>What is the spread of the levels over the seats at one frequency? In decibels, within 0.06 dB.</summary>
    /// <param name="seats">The seats of one source.</param>
    /// <param name="frequencyHz">The frequency in hertz; the nearest one of the grid is taken.</param>
    /// <returns>The exercise; it cannot tell where not every seat is trusted.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The frequency is not above zero and finite.</exception>
    /// <remarks>Source: as for <see cref="SeatSet.SpreadDb"/>.</remarks>
    public static Exercise Spread(SeatSet seats, double frequencyHz)
    {
        var (levels, weights, point) = At(seats, frequencyHz);
        double Root(IReadOnlyList<double> weighted, double less)
        {
            var mean = Weighted(levels, weighted) / weighted.Sum();
            return Math.Sqrt(Weighted(levels.Select(level => (level - mean) * (level - mean)), weighted) / (weighted.Sum() - less));
        }
        double[] alike = [.. levels.Select(_ => 1.0)];
        return new("The spread", point.SpreadDb, AnswerUnit.Decibels, LevelDb,
            "Take the level mean with the weights of the seats, then the mean square of what each seat differs from it, again with the weights, then the root.",
            "It says how differently the seats hear; no equaliser can make it smaller, because it changes every seat alike.",
            new(point.SpreadDb * point.SpreadDb, "That is the variance, in decibels squared. The spread is its root."),
            new(point.RangeDb, "That is the highest less the lowest level. It grows with every seat that is added; the spread does not."),
            new(Root(alike, 0), "Every seat was counted alike: two of them have less weight."),
            new(Root(alike, 1), "Every seat was counted alike, and divided by one less than their number. These seats are all there are, so the divisor is the sum of the weights."),
            new(Root(weights, Weighted(weights, weights) / weights.Sum()), "Divided as for seats that stand for other places. These seats are all there are, so the divisor is the sum of the weights."));
    }

    /// <summary>At which frequency do two seats first cancel in a complex mean, if the sound reaches one of them later? In hertz, within 1 %.</summary>
    /// <param name="laterByMs">By how much later, in milliseconds, above zero.</param>
    /// <returns>The exercise.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The time is not above zero and finite.</exception>
    /// <remarks>Direct sound of equal level at both seats is assumed; a room adds its own phases in the bass. Source: H(f) = (1 + e^(−j2πfτ))/2 is zero at f = 1/(2τ).</remarks>
    public static Exercise FirstCancellation(double laterByMs)
    {
        if (!(laterByMs > 0 && double.IsFinite(laterByMs))) throw new ArgumentOutOfRangeException(nameof(laterByMs), laterByMs, "Must be in (0, ∞) ms.");
        var seconds = laterByMs / 1000;
        return new("The first cancellation", 1 / (2 * seconds), AnswerUnit.Hertz, CalculatedShare,
            "Two equal waves cancel when one of them is half a period late. Which frequency has its half period as long as the difference of the arrivals?",
            "Nobody hears that dip: at each seat the level is whole, and only the mean of the two has lost it.",
            new(1 / seconds, "A whole period late is in phase again: there the two add up. They cancel at half a period."),
            new(1 / (4 * seconds), "A quarter of a period late, the two have lost 3 dB; they cancel at half a period."),
            new(1.5 / seconds, "That is the second cancellation, at one and a half periods. The first comes earlier."),
            new(2 * seconds, "That is the period in seconds; its reciprocal is the frequency."));
    }

    private static (double[] LevelsDb, double[] Weights, SeatPoint Point) At(SeatSet seats, double frequencyHz)
    {
        ArgumentNullException.ThrowIfNull(seats);
        if (!(frequencyHz > 0 && double.IsFinite(frequencyHz))) throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, "Must be in (0, ∞) Hz.");
        var nearest = Enumerable.Range(0, seats.Grid.Count).MinBy(k => Math.Abs(Math.Log(seats.Grid[k] / frequencyHz)));
        return (seats.LevelsDbAt(nearest), [.. seats.Seats.Select(seat => seat.Weight)], seats[nearest]);
    }

    private static double Weighted(IEnumerable<double> values, IReadOnlyList<double> weights) => values.Select((value, n) => weights[n] * value).Sum();
}
