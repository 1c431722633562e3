// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Spectra;
using Xunit;
using static Sweepbook.Tests.Transforms.SlowFourier;

namespace Sweepbook.Tests.Spectra;

public sealed class SmoothingWidthsTests
{
    /// <summary>Sums of up to 20 000 numbers: each addition loses at most 1.1e-16 of the sum of sizes so far.</summary>
    private const double Sum = 2e-12;

    private static readonly SmoothingWidths Falling = SmoothingWidths.OfTable([new(30, 2), new(300, 1 / 3.0), new(3000, 1 / 48.0)], "for this test: falls");
    private static readonly SmoothingWidths Jumping = SmoothingWidths.OfTable([new(500, 1 / 48.0), new(510, 3), new(4000, 1 / 12.0)], "for this test: jumps");

    public static TheoryData<string, SmoothingWidths> Tables => new()
    {
        { "1/1", SmoothingWidths.Fraction(1) }, { "1/3", SmoothingWidths.Fraction(3) }, { "1/48", SmoothingWidths.Fraction(48) },
        { "modes", SmoothingWidths.ModesThenBands }, { "hearing", SmoothingWidths.BandsOfHearing }, { "falling", Falling }, { "jumping", Jumping },
    };

    [Theory, MemberData(nameof(Tables))]
    public void Power_means_are_those_of_the_plain_sum(string table, SmoothingWidths widths)
    {
        const double BinWidthHz = 0.73;
        double[] power = [.. Noise(20_001).Select((x, k) => (1 + x / 2) * Math.Pow(10, -k / 1000.0))], centresHz = Centres(20_000 * BinWidthHz);
        var means = Smoothing.PowerMean(power, BinWidthHz, centresHz, widths);
        Assert.Equal(centresHz.Length, means.Length);
        for (var k = 0; k < means.Length; k++)
        {
            var plain = PlainMean([.. Complexes(power)], centresHz[k] / BinWidthHz, widths.OctavesAt(centresHz[k])).Real;
            Assert.True(Math.Abs(means[k] / plain - 1) <= Sum, $"{table}: {centresHz[k]} Hz");
        }
    }

    [Theory, MemberData(nameof(Tables))]
    public void Complex_means_are_those_of_the_plain_sum(string table, SmoothingWidths widths)
    {
        const double BinWidthHz = 0.73;
        var values = ComplexNoise(20_001);
        var centresHz = Centres(20_000 * BinWidthHz);
        var means = Smoothing.ComplexMean(values, BinWidthHz, centresHz, widths);
        Assert.Equal(centresHz.Length, means.Length);
        for (var k = 0; k < means.Length; k++)
        {
            var plain = PlainMean(values, centresHz[k] / BinWidthHz, widths.OctavesAt(centresHz[k]));
            Assert.True((means[k] - plain).Magnitude <= Sum, $"{table}: {centresHz[k]} Hz");
        }
    }

    [Theory, MemberData(nameof(Tables))]
    public void The_mean_round_every_bin_is_the_mean_round_those_centres(string table, SmoothingWidths widths)
    {
        double[] power = [.. Noise(3001).Select(x => x * x)], centresHz = [.. Enumerable.Range(0, 3001).Select(k => k * 2.0)];
        Assert.True(Smoothing.PowerMean(power, 2, centresHz, widths).SequenceEqual(Smoothing.PowerMean(power, 2, widths)), table);
    }

    [Theory, MemberData(nameof(Tables))]
    public void The_order_of_the_centres_does_not_matter(string table, SmoothingWidths widths)
    {
        double[] power = [.. Noise(5001).Select(x => x * x)], rising = Centres(5000);
        int[] order = [.. Enumerable.Range(0, rising.Length).Select(k => k * 149 % rising.Length)];
        var means = Smoothing.PowerMean(power, 1, rising, widths);
        var mixed = Smoothing.PowerMean(power, 1, [.. order.Select(k => rising[k])], widths);
        for (var k = 0; k < order.Length; k++) Assert.True(mixed[k] == means[order[k]], table);
    }

    [Theory, MemberData(nameof(Tables))]
    public void A_constant_stays_that_constant(string table, SmoothingWidths widths)
    {
        var constant = new Complex(0.7, -0.2);
        Assert.All(Smoothing.PowerMean([.. Enumerable.Repeat(0.7, 5001)], 2, widths), mean => Assert.True(Math.Abs(mean / 0.7 - 1) <= Sum, table));
        Assert.All(Smoothing.ComplexMean([.. Enumerable.Repeat(constant, 5001)], 2, Centres(10_000), widths),
            mean => Assert.True((mean - constant).Magnitude <= Sum, table));
    }

    [Fact]
    public void Bands_that_tile_the_axis_hold_all_the_energy_where_the_width_changes_too()
    {
        double[] power = [.. Noise(8001).Select(x => x * x)];
        var widths = SmoothingWidths.ModesThenBands;
        double total = 0, from = 100;
        while (from < 5000)
        {
            double centre = from, before;   // the centre whose own band begins at `from`
            do (before, centre) = (centre, from * Math.Pow(2, widths.OctavesAt(centre) / 2));
            while (Math.Abs(centre - before) > 1e-13 * centre);
            var to = centre * Math.Pow(2, widths.OctavesAt(centre) / 2);
            total += Smoothing.PowerMean(power, 1, [centre], widths)[0] * (to - from);
            from = to;
        }
        double expected = power[100] / 2 + power[101..(int)Math.Floor(from + 0.5)].Sum() + power[(int)Math.Floor(from + 0.5)] * (from - Math.Floor(from + 0.5) + 0.5);
        const double EndsOfBands = 1e-11;   // each of some 60 band ends lies within 1e-13 of its place
        Assert.Equal(1, total / expected, EndsOfBands);
    }

    [Fact]
    public void Values_that_turn_cancel_by_the_sine_quotient()   // Σ e^(−jθk) over M whole bins = sin(Mθ/2) / sin(θ/2) at the middle
    {
        const double Turn = 0.11;
        const int Middle = 500, Arm = 20;
        Complex[] values = [.. Enumerable.Range(0, 1001).Select(k => Complex.FromPolarCoordinates(1, -Turn * (k - Middle)))];
        // One octave fraction whose edges fall on bin edges is not to be had on both sides: the band's two ends are half-bins of their own.
        var widths = SmoothingWidths.OfTable([new(1, 2 * Math.Log2((Arm + 0.5 + Math.Sqrt((Arm + 0.5) * (Arm + 0.5) + 4.0 * Middle * Middle)) / (2.0 * Middle)))], "for this test: 20.5 bins");
        var mean = Smoothing.ComplexMean(values, 1, [Middle], widths)[0];
        Assert.InRange((mean - PlainMean(values, Middle, widths.OctavesAt(1))).Magnitude, 0, Sum);
        Assert.Equal(Math.Sin((Arm + 0.5) * Turn / 2) / ((Arm + 0.5) * Math.Sin(Turn / 2)), mean.Magnitude, 2e-3);   // edges are not symmetric by 0.2 bin
    }

    [Theory, InlineData(50, 1 / 24.0), InlineData(200, 1 / 24.0), InlineData(632.45553203367586640, 0.1875), InlineData(2000, 1 / 3.0), InlineData(20_000, 1 / 3.0), InlineData(0, 1 / 24.0)]
    public void The_table_is_read_along_straight_lines_over_log_frequency(double frequencyHz, double octaves) =>
        Assert.Equal(octaves, SmoothingWidths.ModesThenBands.OctavesAt(frequencyHz), Sum);

    /// <summary>Glasberg and Moore 1990, eq. 3, worked out by hand: E(1 kHz) = 132.639 Hz, and a band of that width in geometric proportion.</summary>
    [Theory, InlineData(100, 35.49), InlineData(1000, 132.639), InlineData(10_000, 1104.09)]
    public void Bands_of_hearing_are_as_wide_as_the_formula_says(double frequencyHz, double bandwidthHz)
    {
        const double HalfLastDigit = 0.005;
        var half = Math.Pow(2, SmoothingWidths.BandsOfHearing.OctavesAt(frequencyHz) / 2);
        Assert.Equal(bandwidthHz, frequencyHz * half - frequencyHz / half, HalfLastDigit);
    }

    [Fact]
    public void Every_table_says_where_it_comes_from() =>
        Assert.All((SmoothingWidths[])[SmoothingWidths.Fraction(3), SmoothingWidths.ModesThenBands, SmoothingWidths.BandsOfHearing], widths => Assert.NotEmpty(widths.Source));

    [Fact]
    public void Wrong_arguments_are_refused()
    {
        Assert.Equal("denominator", Assert.Throws<ArgumentOutOfRangeException>(() => SmoothingWidths.Fraction(0)).ParamName);
        Assert.Equal("denominator", Assert.Throws<ArgumentOutOfRangeException>(() => SmoothingWidths.Fraction(49)).ParamName);
        Refused("rows", "0 rows", () => SmoothingWidths.OfTable([], "x"));
        Refused("rows", "row 1 is 100 Hz; must be in (100, ∞)", () => SmoothingWidths.OfTable([new(100, 1), new(100, 2)], "x"));
        Refused("rows", "row 0 is NaN Hz", () => SmoothingWidths.OfTable([new(double.NaN, 1)], "x"));
        Refused("rows", "row 0 is 11 octaves; must be in (0, 10]", () => SmoothingWidths.OfTable([new(100, 11)], "x"));
        Refused("source", "", () => SmoothingWidths.OfTable([new(100, 1)], " "));
        Refused("values", "0 bins", () => Smoothing.ComplexMean([], 1, [0], Falling));
        Refused("values", "bin 1", () => Smoothing.ComplexMean([0, new(0, double.NaN)], 1, [0], Falling));
        Refused("centresHz", "Centre 0 is 7 Hz; must be in [0, 1]", () => Smoothing.ComplexMean([0, 1], 1, [7], Falling));
        Refused("power", "bin 6 is", () => Smoothing.PowerMean([1, 1, 1, 1, 1, 1, double.NegativeInfinity, 1, 1], 1, Falling));
        Refused("power", "bin 8 is NaN", () => Smoothing.PowerMean([1, 1, 1, 1, 1, 1, 1, 1, double.NaN], 1, Falling));
        Refused("frequencyHz", "[0, ∞)", () => Falling.OctavesAt(-1));
        Assert.Throws<ArgumentNullException>(() => Smoothing.PowerMean([1], 1, null!));
    }

    private static void Refused(string name, string words, Action attempt)
    {
        var thrown = Assert.ThrowsAny<ArgumentException>(attempt);
        Assert.Equal(name, thrown.ParamName);
        Assert.Contains(words, thrown.Message);
    }

    /// <summary>The definition: each bin's share of the interval, one bin after the other.</summary>
    private static Complex PlainMean(Complex[] values, double centre, double widthOctaves)
    {
        double from = centre * Math.Pow(2, -widthOctaves / 2), to = centre * Math.Pow(2, widthOctaves / 2), covered = 0;
        if (to - from < 1) (from, to) = (centre - 0.5, centre + 0.5);
        var sum = Complex.Zero;
        for (var k = Math.Max(0, (int)from - 1); k < values.Length && k < to + 1; k++)
        {
            var share = Math.Max(0, Math.Min(k + 0.5, to) - Math.Max(k - 0.5, from));
            (sum, covered) = (sum + share * values[k], covered + share);
        }
        return sum / covered;
    }

    private static double[] Centres(double highestHz) => [0, .. Enumerable.Range(0, 400).Select(k => highestHz * Math.Pow(2, (k - 399) / 30.0))];
}
