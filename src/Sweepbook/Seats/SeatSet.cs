// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;

namespace Sweepbook.Seats;

/// <summary>One source as all its seats hear it: three means, the spread, and the band in which every seat can be trusted.</summary>
/// <remarks>
/// Everything is NaN outside the common mask, where at least one seat cannot be trusted: a mean over the seats that happen to be good there would
/// step whenever a seat joins. A seat of weight 0 is left out of every number and of the mask. Where a seat dips into the noise its level is an
/// upper bound; spread and range are then lower bounds, and the power and level means upper bounds. Source: beside each number.
/// </remarks>
public sealed class SeatSet
{
    private readonly SeatResponse[] _seats;
    private readonly double[] _weights;
    private readonly double[][] _powers;
    private readonly bool[] _censored;
    private readonly LevelStatistics _statistics;
    private readonly double[] _varianceDb2, _spreadDb, _rangeDb;

    private SeatSet(SeatResponse[] seats, SpreadDivisor divisor, double[][] powers)
    {
        (_seats, Divisor, _powers) = (seats, divisor, powers);
        _weights = [.. seats.Select(seat => seat.Weight)];
        LevelTrust = seats.Skip(1).Aggregate(seats[0].Response.LevelTrust, (mask, seat) => mask.And(seat.Response.LevelTrust));
        PhaseTrust = seats.Skip(1).Aggregate(seats[0].Response.PhaseTrust, (mask, seat) => mask.And(seat.Response.PhaseTrust));
        _statistics = LevelStatistics.Of(powers, _weights);
        (_censored, _varianceDb2, _spreadDb, _rangeDb) = (new bool[Grid.Count], new double[Grid.Count], new double[Grid.Count], new double[Grid.Count]);
        var factor = divisor == SpreadDivisor.Seats ? 1 : LessOne(_weights);
        for (var k = 0; k < Grid.Count; k++)
        {
            bool[] censored = [.. seats.Select(seat => seat.Response[k].IsCensored)];
            _censored[k] = Array.Exists(censored, is_ => is_);
            double[] levels = _censored[k] ? [.. powers.Select(power => Decibels.FromPower(power[k]))] : [];
            _varianceDb2[k] = factor * (_censored[k] ? CensoredSeats.LeastVarianceDb2(levels, censored, _weights) : _statistics.VarianceDb2[k]);
            _rangeDb[k] = _censored[k] ? CensoredSeats.LeastRangeDb(levels, censored) : _statistics.HighestDb[k] - _statistics.LowestDb[k];
        }
        LevelStatistics.Spread(_varianceDb2, _spreadDb);
    }

    /// <summary>Brings the seats of one source together.</summary>
    /// <param name="seats">One response per seat, all on one grid and with one level reference; two or more of a weight above zero.</param>
    /// <param name="divisor">What the squared deviations are divided by.</param>
    /// <exception cref="ArgumentException">Fewer than two seats count, a seat is named twice, grids or level references differ, or a weight is negative, infinite or NaN.</exception>
    /// <remarks>Whether the responses are of one source, setting and microphone is the caller's business: nothing here can see it.</remarks>
    public static SeatSet Of(IReadOnlyList<SeatResponse> seats, SpreadDivisor divisor = SpreadDivisor.Seats)
    {
        ArgumentNullException.ThrowIfNull(seats);
        foreach (var seat in seats)
        {
            if (seat.Response is null) throw new ArgumentException($"The seat \"{seat.Seat}\" has no response.", nameof(seats));
            if (!(seat.Weight >= 0 && double.IsFinite(seat.Weight)))
                throw new ArgumentException($"The weight of {seat.Seat} is {seat.Weight}; must be in [0, ∞).", nameof(seats));
        }
        if (seats.GroupBy(seat => seat.Seat).FirstOrDefault(group => group.Count() > 1) is { } twice)
            throw new ArgumentException($"The seat {twice.Key} is named twice; a seat counts once, by its weight.", nameof(seats));
        SeatResponse[] counted = [.. seats.Where(seat => seat.Weight > 0)];
        if (counted.Length < 2)
            throw new ArgumentException($"Got {counted.Length} of {seats.Count} seats with a weight above 0; a comparison needs 2 or more.", nameof(seats));
        foreach (var seat in counted)
        {
            if (!seat.Response.Grid.FrequenciesHz.SequenceEqual(counted[0].Response.Grid.FrequenciesHz))
                throw new ArgumentException($"{seat.Seat} stands on another frequency grid than {counted[0].Seat}; evaluate both on one grid first.", nameof(seats));
            if (seat.Response.Reference != counted[0].Response.Reference)
                throw new ArgumentException($"The levels of {seat.Seat} are {seat.Response.LevelReference}, those of {counted[0].Seat} {counted[0].Response.LevelReference}; they cannot be compared.", nameof(seats));
        }
        return new(counted, divisor, [.. counted.Select(seat => seat.Response.Points().Select(point => point.PowerRatio).ToArray())]);
    }

    /// <summary>The seats that count, in the order given.</summary>
    public IReadOnlyList<SeatResponse> Seats => _seats;

    /// <summary>The frequencies.</summary>
    public LogGrid Grid => _seats[0].Response.Grid;

    /// <summary>What the squared deviations are divided by.</summary>
    public SpreadDivisor Divisor { get; }

    /// <summary>How the spread is divided, in words for a figure or a sentence: "divided by the number of seats".</summary>
    public string DividedInWords => (Array.Exists(_weights, weight => weight != _weights[0]), Divisor) switch
    {
        (false, SpreadDivisor.Seats) => "divided by the number of seats",
        (false, _) => "divided by the number of seats less one",
        (true, SpreadDivisor.Seats) => "seats weighted as stated, divided by the sum of the weights",
        _ => "seats weighted as stated, divided by the sum of the weights and corrected as for one seat less",
    };

    /// <summary>The common mask: where every seat's level may be believed.</summary>
    public TrustMask LevelTrust { get; }

    /// <summary>Where every seat's phase may be believed.</summary>
    public TrustMask PhaseTrust { get; }

    /// <summary>Everything about grid point <paramref name="k"/>.</summary>
    public SeatPoint this[int k] => LevelTrust[k]
        ? new(Grid[k], _statistics.PowerMeanDb[k], _statistics.LevelMeanDb[k], _spreadDb[k], _rangeDb[k],
            _statistics.LowestDb[k], _statistics.HighestDb[k], _censored[k], default)
        : new(Grid[k], double.NaN, double.NaN, double.NaN, double.NaN, double.NaN, double.NaN, false, LevelTrust.ReasonAt(k));

    /// <summary>All points, in rising frequency.</summary>
    public IEnumerable<SeatPoint> Points() => Enumerable.Range(0, Grid.Count).Select(k => this[k]);

    /// <summary>10 · lg(Σ w p / Σ w): the level of the mean power.</summary>
    /// <returns>Decibels, one per grid point, NaN outside the common mask.</returns>
    /// <remarks>
    /// Misleads because the loudest seat rules it: a dip at one of five seats lowers it by 1 dB at most, so it looks smoother than any seat sounds.
    /// Source: own definition, the energy mean of levels that the trade uses.
    /// </remarks>
    public double[] PowerMeanDb() => [.. Points().Select(point => point.PowerMeanDb)];

    /// <summary>Σ w L / Σ w: the mean of the levels in decibels, which weighs a dip as much as a peak.</summary>
    /// <returns>Decibels, one per grid point, NaN outside the common mask.</returns>
    /// <remarks>
    /// Misleads as a measure of energy: it is never above the power mean and, over many places of a diffuse field, 2.5 dB below it (fact sheet 15.1);
    /// one deep null pulls it down without bound. Source: own definition.
    /// </remarks>
    public double[] LevelMeanDb() => [.. Points().Select(point => point.LevelMeanDb)];

    /// <summary>Σ w H / Σ w: the mean of the complex values, phases included.</summary>
    /// <returns>Linear, one per grid point, NaN outside the common mask for phases.</returns>
    /// <exception cref="InvalidOperationException">The seats may not be added; <see cref="WhyNoComplexMean"/> says why.</exception>
    /// <remarks>
    /// Misleads as a loudness: seats at different distances cancel, at 100 Hz completely where one is 1.7 m farther, though nobody hears less there. It is the
    /// part that all seats share, and what a correction of the phase can reach. Uses the value at exactly each frequency, while levels are means
    /// over the grid cell. Source: own definition.
    /// </remarks>
    public Complex[] ComplexMean()
    {
        if (WhyNoComplexMean is { } why) throw new InvalidOperationException(why);
        var mean = new Complex[Grid.Count];
        LevelStatistics.ComplexMean([.. _seats.Select(seat => seat.Response.Points().Select(point => point.Value).ToArray())], _weights, mean);
        for (var k = 0; k < mean.Length; k++)
            if (!PhaseTrust[k] || !MicrophonesMeetAt(Grid[k])) mean[k] = new(double.NaN, double.NaN);
        return mean;
    }

    /// <summary>One microphone has one phase everywhere; those of several are known where their calibrations say so.</summary>
    private bool MicrophonesMeetAt(double frequencyHz) => Array.TrueForAll(_seats, seat => seat.Response.Microphone == _seats[0].Response.Microphone)
        || Array.TrueForAll(_seats, seat => seat.Response.MicrophonePhaseHz is not { } known || (frequencyHz >= known.FromHz && frequencyHz <= known.ToHz));

    /// <summary>Why the seats may not be added as complex numbers, as a sentence; null where they may.</summary>
    public string? WhyNoComplexMean
    {
        get
        {
            var first = _seats[0];
            if (_seats.FirstOrDefault(seat => !seat.Response.TimeGroup.Shares(first.Response.TimeGroup)) is { Response: not null } other)
                return (other.Response.TimeGroup.Name ?? first.Response.TimeGroup.Name) is null
                    ? "The seats have no complex mean, because the takes have no known time zero. Record the loopback next time."
                    : $"The seats have no complex mean, because {first.Seat} and {other.Seat} do not share a time zero{(other.Response.TimeGroup.IsOfAnotherSurvey(first.Response.TimeGroup) ? ": they were recorded in different surveys" : "")}.";
            if (_seats.Select(seat => seat.Response.WhyNotWithMicrophoneOf(first.Response)).FirstOrDefault(why => why is not null) is { } twoMicrophones)
                return $"The seats have no complex mean: {twoMicrophones}";
            return PhaseTrust.LongestBand().IsEmpty ? "The seats have no complex mean, because the phase is trusted nowhere at all of them." : null;
        }
    }

    /// <summary>Standard deviation of the levels over the seats: √(Σ w (L − mean)² / divisor), with the divisor of <see cref="Divisor"/>.</summary>
    /// <returns>Decibels, one per grid point, NaN outside the common mask; a lower bound where a seat dips into the noise (<see cref="SeatPoint.IsLowerBound"/>).</returns>
    /// <remarks>
    /// Misleads where it is compared with 5.6 dB, the spread of a diffuse field (fact sheet 15.1): the bass of a room is no diffuse field.
    /// Source: Welti and Devantier (2006), see <see cref="SeatSummary"/>.
    /// </remarks>
    public double[] SpreadDb() => [.. Points().Select(point => point.SpreadDb)];

    /// <summary>Highest less lowest level over the seats, whatever their weights.</summary>
    /// <returns>Decibels, one per grid point, NaN outside the common mask; a lower bound where a seat dips into the noise.</returns>
    /// <remarks>Misleads between surveys of different size: it grows with every seat that is added. Source: own definition.</remarks>
    public double[] RangeDb() => [.. Points().Select(point => point.RangeDb)];

    /// <summary>The seats over a band in three numbers, from its points inside the common mask.</summary>
    /// <param name="fromHz">Lower end in hertz, included; above zero.</param>
    /// <param name="toHz">Upper end in hertz, included; not below the lower one.</param>
    /// <returns>See <see cref="SeatSummary"/>; its ends say which part of the band was trusted.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An end is zero, negative, infinite or NaN, or the ends are reversed.</exception>
    /// <remarks>Misleads where little of the band is trusted: look at its ends. Source: beside the result.</remarks>
    public SeatSummary Between(double fromHz, double toHz)
    {
        var counted = Inside(fromHz, toHz);
        var (variance, mean, squares) = (0.0, 0.0, 0.0);
        foreach (var k in counted) (variance, mean) = (variance + _varianceDb2[k], mean + _statistics.LevelMeanDb[k]);
        mean /= counted.Count;
        foreach (var k in counted) squares += (_statistics.LevelMeanDb[k] - mean) * (_statistics.LevelMeanDb[k] - mean);
        return new()
        {
            FromHz = counted.Count > 0 ? Grid[counted[0]] : double.NaN,
            ToHz = counted.Count > 0 ? Grid[counted[^1]] : double.NaN,
            Points = counted.Count,
            CensoredPoints = counted.Count(k => _censored[k]),
            Divisor = Divisor,
            MeanSpatialVarianceDb2 = variance / counted.Count,
            VarianceOfSpatialMeanDb2 = squares / counted.Count,
            MeanLevelDb = mean,
        };
    }

    /// <summary>How far each seat is from the level mean of the others inside a band: which seat stands out, and which way.</summary>
    /// <param name="fromHz">Lower end in hertz, included; above zero.</param>
    /// <param name="toHz">Upper end in hertz, included; not below the lower one.</param>
    /// <returns>One per seat, in their order; NaN where nothing in the band is trusted.</returns>
    /// <exception cref="ArgumentOutOfRangeException">As for <see cref="Between"/>.</exception>
    /// <remarks>Misleads with two seats, which always differ from each other alike. Source: own definition.</remarks>
    public IReadOnlyList<SeatDeviation> Deviations(double fromHz, double toHz)
    {
        var counted = Inside(fromHz, toHz);
        var total = _weights.Sum();
        return [.. _seats.Select((seat, n) =>
        {
            var (sum, squares) = (0.0, 0.0);
            foreach (var k in counted)
            {
                var level = Decibels.FromPower(_powers[n][k]);
                var difference = (level - _statistics.LevelMeanDb[k]) * total / (total - _weights[n]);   // from the mean of all to that of the others
                (sum, squares) = (sum + difference, squares + difference * difference);
            }
            return new SeatDeviation(seat.Seat, sum / counted.Count, Math.Sqrt(squares / counted.Count));
        })];
    }

    /// <summary>The same seats with their powers smoothed on the logarithmic axis before anything is compared.</summary>
    /// <param name="fraction">1 for a whole octave, 3 for a third, 12 for a twelfth; 1 or more.</param>
    /// <returns>A set with the same masks; complex means are not smoothed.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The fraction is below 1.</exception>
    /// <remarks>Smoothing hides narrow dips, and so makes every spread smaller. Source: <see cref="Response.SmoothedLevelsDb"/>.</remarks>
    public SeatSet Smoothed(int fraction) =>
        new(_seats, Divisor, [.. _seats.Select(seat => seat.Response.SmoothedLevelsDb(fraction).Select(Decibels.ToPowerRatio).ToArray())]);

    /// <summary>The level of each seat at a grid point, in the order of the seats: decibels, trusted or not.</summary>
    /// <param name="k">Grid point, counted from 0.</param>
    public double[] LevelsDbAt(int k) => [.. _powers.Select(power => Decibels.FromPower(power[k]))];

    /// <summary>The seat with the highest level at a grid point; one that dips into the noise only where all do.</summary>
    /// <param name="k">Grid point, counted from 0.</param>
    public string LoudestAt(int k)
    {
        var levels = LevelsDbAt(k);
        return Enumerable.Range(0, levels.Length).OrderBy(n => _seats[n].Response[k].IsCensored).ThenByDescending(n => levels[n]).Select(n => _seats[n].Seat).First();
    }

    /// <summary>The seat with the lowest level at a grid point.</summary>
    /// <param name="k">Grid point, counted from 0.</param>
    public string WeakestAt(int k)
    {
        var levels = LevelsDbAt(k);
        return _seats[Enumerable.Range(0, levels.Length).MinBy(n => levels[n])].Seat;
    }

    private List<int> Inside(double fromHz, double toHz)
    {
        if (!(fromHz > 0 && double.IsFinite(fromHz))) throw new ArgumentOutOfRangeException(nameof(fromHz), fromHz, "Must be in (0, ∞) Hz.");
        if (!(toHz >= fromHz && double.IsFinite(toHz))) throw new ArgumentOutOfRangeException(nameof(toHz), toHz, FormattableString.Invariant($"Must be in [{fromHz}, ∞) Hz."));
        return [.. Enumerable.Range(0, Grid.Count).Where(k => Grid[k] >= fromHz && Grid[k] <= toHz && LevelTrust[k])];
    }

    /// <summary>From a division by Σ w to one by Σ w − Σ w² / Σ w.</summary>
    private static double LessOne(double[] weights)
    {
        var (sum, squares) = (weights.Sum(), weights.Sum(weight => weight * weight));
        return 1 / (1 - squares / (sum * sum));
    }
}
