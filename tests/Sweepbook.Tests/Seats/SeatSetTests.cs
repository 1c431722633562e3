// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Seats;
using Sweepbook.Spectra;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Seats;

public sealed class SeatSetTests
{
    private const double SheetTolerance = 1e-4;   // fact sheet 9.1 prints four decimals
    private const double Rounding = 1e-12;
    private static readonly LogGrid Grid = LogGrid.Between(1, 125, 1000);   // 125, 250, 500, 1000 Hz
    private static readonly TimeGroup Common = new("loopback");

    // three seats at four frequencies, fact sheet 9.1
    private static readonly double[][] Sheet = [[80, 84, 78, 82], [76, 82, 80, 86], [83, 85, 79, 81]];

    [Theory]
    [InlineData(SpreadDivisor.Seats, 3.7778)]
    [InlineData(SpreadDivisor.SeatsLessOne, 5.6667)]
    public void Three_seats_at_four_frequencies_agree_with_the_fact_sheet(SpreadDivisor divisor, double variance)
    {
        var seats = Of(divisor, Sheet);
        var band = seats.Between(100, 1000);
        Assert.Equal(variance, band.MeanSpatialVarianceDb2, SheetTolerance);
        Assert.Equal(4.1111, band.VarianceOfSpatialMeanDb2, SheetTolerance);
        Assert.Equal(81.3333, band.MeanLevelDb, SheetTolerance);
        Assert.Equal([79.6667, 83.6667, 79, 83], seats.LevelMeanDb(), (a, b) => Math.Abs(a - b) < SheetTolerance);
        Assert.Equal([7, 3, 2, 5], seats.RangeDb(), (a, b) => Math.Abs(a - b) < Rounding);
        Assert.Equal((4, 0, false, divisor), (band.Points, band.CensoredPoints, band.IsLowerBound, band.Divisor));
        Assert.Equal((125, 1000), (band.FromHz, band.ToHz));
    }

    [Theory]
    [InlineData(SpreadDivisor.Seats, 1.0, "divided by the number of seats")]
    [InlineData(SpreadDivisor.SeatsLessOne, 1.0, "divided by the number of seats less one")]
    [InlineData(SpreadDivisor.Seats, 0.5, "seats weighted as stated, divided by the sum of the weights")]
    [InlineData(SpreadDivisor.SeatsLessOne, 0.5, "seats weighted as stated, divided by the sum of the weights and corrected as for one seat less")]
    public void How_the_spread_is_divided_is_said_in_words(SpreadDivisor divisor, double weight, string words)
    {
        var seats = Of(divisor, Sheet);
        Assert.Equal(words, SeatSet.Of([seats.Seats[0], seats.Seats[1], seats.Seats[2] with { Weight = weight }], divisor).DividedInWords);
    }

    [Fact]
    public void The_three_means_differ_as_they_should()
    {
        var seats = Of([0, 0, 0, 0], [-20, -20, -20, -20]);
        Assert.Equal(10 * Math.Log10((1 + 0.01) / 2), seats.PowerMeanDb()[0], Rounding);   // the loud seat rules
        Assert.Equal(-10, seats.LevelMeanDb()[0], Rounding);
        Assert.Equal(0.55, seats.ComplexMean()[0].Magnitude, Rounding);                    // (1 + 0.1) / 2, in phase
        Assert.All(seats.Points(), point => Assert.True(point.LevelMeanDb <= point.PowerMeanDb));
    }

    [Fact]
    public void Seats_half_a_wavelength_apart_cancel_in_the_complex_mean_only()
    {
        const double DelaySeconds = 0.001;   // half a period at 500 Hz, a whole one at 1 kHz
        var far = Grid.ToArray().Select(f => Complex.Exp(new(0, -2 * Math.PI * f * DelaySeconds))).ToArray();
        var seats = SeatSet.Of([new("near", Response([1, 1, 1, 1])), new("far", Response(far))]);
        Assert.Equal(0, seats.ComplexMean()[2].Magnitude, Rounding);
        Assert.Equal(1, seats.ComplexMean()[3].Magnitude, Rounding);
        Assert.Equal(0, seats.PowerMeanDb()[2], Rounding);
        Assert.Equal(0, seats.LevelMeanDb()[2], Rounding);
    }

    [Fact]
    public void A_weight_of_two_counts_like_two_seats_of_one_level()
    {
        SeatResponse[] weighted = [new("a", Levels(0), 2), new("b", Levels(-6)), new("c", Levels(-9))];
        SeatResponse[] written = [new("a", Levels(0)), new("also a", Levels(0)), new("b", Levels(-6)), new("c", Levels(-9))];
        var (one, other) = (SeatSet.Of(weighted), SeatSet.Of(written));
        Assert.Equal(other.PowerMeanDb()[0], one.PowerMeanDb()[0], Rounding);
        Assert.Equal(other.LevelMeanDb()[0], one.LevelMeanDb()[0], Rounding);
        Assert.Equal(other.SpreadDb()[0], one.SpreadDb()[0], Rounding);
        Assert.Equal(other.ComplexMean()[0].Magnitude, one.ComplexMean()[0].Magnitude, Rounding);
    }

    [Fact]   // Σ w (L − mean)² / (Σ w − Σ w² / Σ w) = 60.75 / (4 − 6 / 4), by hand
    public void With_weights_one_seat_less_takes_their_squares_from_the_divisor() =>
        Assert.Equal(Math.Sqrt(24.3), SeatSet.Of([new("a", Levels(0), 2), new("b", Levels(-6)), new("c", Levels(-9))], SpreadDivisor.SeatsLessOne).SpreadDb()[0], Rounding);

    [Fact]
    public void A_seat_of_weight_zero_counts_for_nothing_not_even_in_the_mask()
    {
        var seats = SeatSet.Of([new("a", Levels(0)), new("b", Levels(-6)), new("look only", Response([1, 1, 1, 1], trusted: [false, false, false, false]), 0)]);
        Assert.Equal(["a", "b"], seats.Seats.Select(seat => seat.Seat));
        Assert.Equal([6, 6, 6, 6], seats.RangeDb(), (a, b) => Math.Abs(a - b) < Rounding);
    }

    [Fact]
    public void Outside_the_common_mask_there_is_no_number_and_a_reason()
    {
        var seats = SeatSet.Of([new("a", Response([1, 1, 1, 1], trusted: [false, true, true, true])), new("b", Response([0.5, 0.5, 0.5, 0.5], trusted: [true, true, false, true]))]);
        Assert.Equal([false, true, false, true], seats.Points().Select(point => point.IsTrusted));
        foreach (var numbers in new[] { seats.PowerMeanDb(), seats.LevelMeanDb(), seats.SpreadDb(), seats.RangeDb(), seats.ComplexMean().Select(value => value.Real) })
            Assert.Equal([true, false, true, false], numbers.Select(double.IsNaN));
        Assert.Equal("too noisy", seats[0].Reason.Sentence);
        Assert.Equal((2, 250, 1000), (seats.Between(20, 20_000).Points, seats.Between(20, 20_000).FromHz, seats.Between(20, 20_000).ToHz));
        var nothing = seats.Between(20, 130);
        Assert.Equal(0, nothing.Points);
        Assert.All([nothing.MeanSpatialVarianceDb2, nothing.VarianceOfSpatialMeanDb2, nothing.MeanLevelDb, nothing.FromHz], number => Assert.True(double.IsNaN(number)));
    }

    [Fact]
    public void A_dip_into_the_noise_makes_spread_range_and_variance_lower_bounds()
    {
        var seats = SeatSet.Of([new("a", Levels(0)), new("b", Response([1, 0.1, 1, 1], censored: [false, true, false, false]))]);
        Assert.Equal([false, true, false, false], seats.Points().Select(point => point.IsLowerBound));
        Assert.Equal(20, seats[1].RangeDb, Rounding);
        Assert.True(seats.Between(100, 1000).IsLowerBound);
        Assert.False(seats.Between(400, 1000).IsLowerBound);
        var loud = SeatSet.Of([new("a", Levels(0)), new("b", Levels(-6)), new("c", Response([10, 10, 10, 10], censored: [true, true, true, true]))]);
        Assert.Equal(6, loud[0].RangeDb, Rounding);                                          // the noisy seat may be like the others
        Assert.Equal(Math.Sqrt((9 + 9) / 3.0), loud[0].SpreadDb, Rounding);
        Assert.Equal(("a", "b"), (loud.LoudestAt(0), loud.WeakestAt(0)));
    }

    [Fact]
    public void Seats_without_one_time_zero_have_no_complex_mean_and_say_why()
    {
        Assert.Null(Of([0, 0, 0, 0], [0, 0, 0, 0]).WhyNoComplexMean);
        var none = SeatSet.Of([new("a", Response([1, 1, 1, 1], group: TimeGroup.None)), new("b", Response([1, 1, 1, 1], group: TimeGroup.None))]);
        Assert.Contains("no known time zero", none.WhyNoComplexMean, StringComparison.Ordinal);
        Assert.Equal(none.WhyNoComplexMean, Assert.Throws<InvalidOperationException>(none.ComplexMean).Message);
        var two = SeatSet.Of([new("a", Levels(0)), new("b", Response([1, 1, 1, 1], group: new("marker-b")))]);
        Assert.Contains("a and b do not share a time zero", two.WhyNoComplexMean, StringComparison.Ordinal);
        var untrusted = SeatSet.Of([new("a", Levels(0)), new("b", Response([1, 1, 1, 1], trusted: [false, false, false, false]))]);
        Assert.Contains("trusted nowhere", untrusted.WhyNoComplexMean, StringComparison.Ordinal);
    }

    [Fact]
    public void The_seat_that_stands_out_is_as_far_away_from_the_others_as_it_is()
    {
        var deviations = SeatSet.Of([new("a", Levels(0)), new("b", Levels(0)), new("c", Levels(-8))]).Deviations(100, 1000);
        Assert.Equal(["a", "b", "c"], deviations.Select(seat => seat.Seat));
        Assert.Equal([4, 4, -8], deviations.Select(seat => seat.MeanDb), (a, b) => Math.Abs(a - b) < Rounding);   // a: 0 against (0 − 8) / 2
        Assert.Equal(8, deviations[2].RmsDb, Rounding);
        var weighted = SeatSet.Of([new("a", Levels(0), 3), new("b", Levels(-4)), new("c", Levels(-8))]).Deviations(100, 1000);
        Assert.Equal(-8 - (3 * 0 - 4) / 4.0, weighted[2].MeanDb, Rounding);
    }

    [Fact]
    public void Smoothing_comes_before_the_comparison()
    {
        var fine = LogGrid.Between(96, 100, 1000);
        var flat = Response(Enumerable.Repeat((Complex)1, fine.Count).ToArray(), fine);
        var comb = Response([.. Enumerable.Range(0, fine.Count).Select(k => (Complex)(k % 2 == 0 ? 1 : 0.1))], fine);
        var seats = SeatSet.Of([new("a", flat), new("b", comb)]);
        Assert.Equal(20, seats.RangeDb().Max(), 1e-9);
        Assert.Equal(-10 * Math.Log10(1.01 / 2), seats.Smoothed(3).RangeDb()[fine.Count / 2], 0.2);   // half the power; a third of an octave holds 33 points
    }

    [Fact]
    public void Seats_that_cannot_be_compared_are_refused_by_name()
    {
        Assert.Contains("Got 1 of 2 seats", Assert.Throws<ArgumentException>("seats", () => SeatSet.Of([new("a", Levels(0)), new("b", Levels(0), 0)])).Message, StringComparison.Ordinal);
        Assert.Contains("a is named twice", Assert.Throws<ArgumentException>("seats", () => SeatSet.Of([new("a", Levels(0)), new("a", Levels(0))])).Message, StringComparison.Ordinal);
        Assert.Contains("weight of b is NaN", Assert.Throws<ArgumentException>("seats", () => SeatSet.Of([new("a", Levels(0)), new("b", Levels(0), double.NaN)])).Message, StringComparison.Ordinal);
        Assert.Contains("another frequency grid", Assert.Throws<ArgumentException>("seats", () => SeatSet.Of([new("a", Levels(0)), new("b", Response([1, 1, 1], LogGrid.Between(1, 125, 500)))])).Message, StringComparison.Ordinal);
        Assert.Contains("relative to the stimulus", Assert.Throws<ArgumentException>("seats", () => SeatSet.Of([new("a", Levels(0)), new("b", Response([1, 1, 1, 1], reference: LevelReference.Stimulus))])).Message, StringComparison.Ordinal);
        Assert.Contains("has no response", Assert.Throws<ArgumentException>("seats", () => SeatSet.Of([default, default])).Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentOutOfRangeException>("fromHz", () => Of(Sheet).Between(0, 100));
        Assert.Throws<ArgumentOutOfRangeException>("toHz", () => Of(Sheet).Between(200, 100));
    }

    private static SeatSet Of(params double[][] levels) => Of(SpreadDivisor.Seats, levels);

    private static SeatSet Of(SpreadDivisor divisor, double[][] levels) =>
        SeatSet.Of([.. levels.Select((seat, n) => new SeatResponse($"seat-{n}", Response([.. seat.Select(level => (Complex)Decibels.ToAmplitudeRatio(level))])))], divisor);

    private static Response Levels(double levelDb) => Response([.. Enumerable.Repeat((Complex)Decibels.ToAmplitudeRatio(levelDb), 4)]);

    private static Response Response(Complex[] values, LogGrid? grid = null, bool[]? trusted = null, bool[]? censored = null, TimeGroup? group = null, LevelReference reference = LevelReference.Loopback)
    {
        grid ??= Grid;
        var reasons = (trusted ?? [.. values.Select(_ => true)]).Select(good => good ? default : new Reason(Doubt.Noise, "too noisy")).ToArray();
        var mask = new TrustMask(grid.ToArray(), reasons);
        return new(grid, values, [.. values.Select(value => value.Real * value.Real + value.Imaginary * value.Imaginary)], new double[values.Length],
            censored ?? new bool[values.Length], mask, mask, group ?? Common, reference);
    }
}
