// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Filters;
using Sweepbook.Quantities;
using Xunit;

namespace Sweepbook.Tests.Filters;

public sealed class BiquadTests
{
    private const double Butterworth = 0.70710678118654752440;

    private const double TwelveDigits = 1e-12;        // the fact sheet gives the coefficients to 12 and more digits

    private const double TenDigits = 5e-11;           // of which this many are printed

    private const double HalfSixthDecimal = 5e-7;     // and the levels to six decimals

    /// <summary>Near 0 Hz numerator and denominator are sums of 1e-5 or less of coefficients near 1 that are rounded to 1e-16.</summary>
    private const double Cancellation = 1e-9;

    private const double CancellationDegrees = 1e-6;

    // Formulae of the Audio EQ Cookbook, worked out independently for 48 kHz (fact sheet 12.1–12.3): b0, b1, b2, a1, a2; level in dB at frequencies in Hz.
    public static TheoryData<string, Biquad, double[], (double Hz, double Db)[]> Cookbook => new()
    {
        { "Peaking 50 Hz -6 dB", Biquad.Peaking(50, -6, 5, 48000),
            [0.999539275002599, -1.9981099165836, 0.998613438686943, -1.9981099165836, 0.998152713689542],
            [(12.5, -0.018391), (25, -0.112856), (50, -6.0), (100, -0.112853), (200, -0.018389)] },
        { "Peaking 50 Hz +6 dB", Biquad.Peaking(50, 6, 5, 48000),
            [1.00046093736277, -1.99903092009907, 0.998612799569028, -1.99903092009907, 0.999073736931794],
            [(12.5, 0.018391), (25, 0.112856), (50, 6.0), (100, 0.112853), (200, 0.018389)] },
        { "Peaking 1000 Hz +6 dB", Biquad.Peaking(1000, 6, 1, 48000),
            [1.04395308699034, -1.8953207239366, 0.867722284759857, -1.8953207239366, 0.911675371750192],
            [(250, 0.422953), (500, 1.879381), (1000, 6.0), (2000, 1.865991), (4000, 0.405312)] },
        { "LowShelf 80 Hz +6 dB", Biquad.LowShelf(80, 6, Butterworth, 48000),
            [1.0025735168234, -1.98750099843301, 0.985081424399287, -1.9875393927474, 0.987616546908293],
            [(20, 5.974777), (40, 5.62358), (80, 3.0), (160, 0.376392), (320, 0.02521)] },
        { "HighShelf 2000 Hz -4 dB", Biquad.HighShelf(2000, -4, Butterworth, 48000),
            [0.65824396499899, -1.0463459632051, 0.434783498152087, -1.67199843980907, 0.718679939755046],
            [(500, -0.015772), (1000, -0.238351), (2000, -2.0), (4000, -3.773152), (8000, -3.988832)] },
        { "AllPass 60 Hz", Biquad.AllPass(60, Butterworth, 48000),
            [0.988954249933127, -1.98889290589965, 1.0, -1.98889290589965, 0.988954249933127],
            [(15, -0.0), (30, 0.0), (60, -0.0), (120, -0.0), (240, -0.0)] },
        { "LowPass 80 Hz", Biquad.LowPass(80, Butterworth, 48000),
            [2.72138079883133e-05, 5.44276159766267e-05, 2.72138079883133e-05, -1.98519065789626, 0.985299513128215],
            [(20, -0.016931), (40, -0.263282), (80, -3.0103), (160, -12.304937), (320, -24.101704)] },
        { "HighPass 80 Hz", Biquad.HighPass(80, Butterworth, 48000),
            [0.992622542756119, -1.98524508551224, 0.992622542756119, -1.98519065789626, 0.985299513128215],
            [(20, -24.099479), (40, -12.304601), (80, -3.0103), (160, -0.263261), (320, -0.016922)] },
        { "Notch 50 Hz", Biquad.Notch(50, 10, 48000),
            [0.999672860157131, -1.9993028976561, 0.999672860157131, -1.9993028976561, 0.999345720314263],
            [(12.5, -0.003087), (25, -0.019259), (100, -0.019259), (200, -0.003087)] },
    };

    [Theory, MemberData(nameof(Cookbook))]
    public void Coefficients_are_those_of_the_cookbook(string name, Biquad filter, double[] coefficients, (double Hz, double Db)[] levels)
    {
        double[] actual = [filter.B0, filter.B1, filter.B2, filter.A1, filter.A2];
        for (var k = 0; k < 5; k++) Assert.True(Math.Abs(coefficients[k] - actual[k]) <= TwelveDigits, $"{name}, coefficient {k}: {actual[k]:R}");
        foreach (var (frequencyHz, levelDb) in levels)
            Assert.True(Math.Abs(levelDb - LevelDb(filter, frequencyHz)) <= HalfSixthDecimal, $"{name} at {frequencyHz} Hz: {LevelDb(filter, frequencyHz):R}");
    }

    [Fact]
    public void Boost_and_cut_of_one_q_undo_each_other()   // fact sheet 12.3
    {
        Biquad boost = Biquad.Peaking(63, 7.5, 4, 48000), cut = Biquad.Peaking(63, -7.5, 4, 48000);
        const double FewRoundings = 4e-15;   // each coefficient is near 1 or 2 and is rounded a few times; the response near the pole magnifies
        Assert.Equal(1, boost.B0 * cut.B0, FewRoundings);
        Assert.Equal(boost.B1, cut.A1 * boost.B0, FewRoundings);
        Assert.Equal(boost.B2, cut.A2 * boost.B0, FewRoundings);
    }

    [Theory, InlineData(10), InlineData(60), InlineData(1000), InlineData(20000)]
    public void An_all_pass_passes_all_and_turns_half_a_circle_at_its_frequency(double frequencyHz)   // fact sheet 12.3
    {
        var filter = Biquad.AllPass(frequencyHz, Butterworth, 48000);
        foreach (var hz in (double[])[0, 1, frequencyHz, 5000, 24000]) Assert.Equal(1, filter.ResponseAt(hz).Magnitude, Cancellation);
        Assert.Equal(180, Math.Abs(filter.ResponseAt(frequencyHz).Phase) * 180 / Math.PI, CancellationDegrees);
    }

    [Theory, InlineData(20), InlineData(80), InlineData(5000)]
    public void Butterworth_corners_are_3_dB_down_and_a_quarter_turn_off(double frequencyHz)   // fact sheet 12.3: −3.0103 dB, ∓90°
    {
        Complex low = Biquad.LowPass(frequencyHz, Butterworth, 48000).ResponseAt(frequencyHz), high = Biquad.HighPass(frequencyHz, Butterworth, 48000).ResponseAt(frequencyHz);
        Assert.Equal((-3.0103, -90), (Math.Round(Decibels.FromAmplitude(low.Magnitude), 4), Math.Round(low.Phase * 180 / Math.PI, 6)));
        Assert.Equal((-3.0103, 90), (Math.Round(Decibels.FromAmplitude(high.Magnitude), 4), Math.Round(high.Phase * 180 / Math.PI, 6)));
    }

    [Theory, InlineData(20), InlineData(40), InlineData(80), InlineData(160), InlineData(320)]
    public void Two_Butterworths_in_a_row_make_halves_that_add_to_an_all_pass(double frequencyHz)   // Linkwitz–Riley, fact sheet 12.4
    {
        const double OfTheFactSheetDb = 1e-8;
        Complex low = Biquad.LowPass(80, Butterworth, 48000).ResponseAt(frequencyHz), high = Biquad.HighPass(80, Butterworth, 48000).ResponseAt(frequencyHz);
        var sum = low * low + high * high;
        Assert.Equal(0, Decibels.FromAmplitude(sum.Magnitude), OfTheFactSheetDb);
        Assert.Equal(0, (sum - Biquad.AllPass(80, Butterworth, 48000).ResponseAt(frequencyHz)).Magnitude, Cancellation);
    }

    [Fact]
    public void A_notch_lets_nothing_through_at_its_frequency() =>
        Assert.InRange(Biquad.Notch(50, 10, 48000).ResponseAt(50).Magnitude, 0, Cancellation);

    [Fact]
    public void The_default_lets_nothing_through() => Assert.Equal(Complex.Zero, default(Biquad).ResponseAt(0));

    // The cookbook's formulae, worked out in another program.
    [Theory, InlineData(1, 1000, 1.4100178273), InlineData(1 / 3.0, 8000, 3.5676830150)]
    public void The_q_of_a_bandwidth_is_the_formula(double octaves, double frequencyHz, double q) => Assert.Equal(q, Biquad.QOfBandwidth(octaves, frequencyHz, 48000), TenDigits);

    [Theory, InlineData(1, 6, 0.7071067812), InlineData(0.5, 6, 0.4926357437), InlineData(0.25, -12, 0.3246248772)]
    public void The_q_of_a_slope_is_the_formula(double slopeRatio, double gainDb, double q) => Assert.Equal(q, Biquad.QOfSlope(slopeRatio, gainDb), TenDigits);

    [Theory, InlineData(-1000), InlineData(1000)]
    public void The_largest_gains_still_have_finite_coefficients(double gainDb)
    {
        foreach (var q in (double[])[1e-6, 1e6])
            foreach (var filter in (Biquad[])[Biquad.Peaking(50, gainDb, q, 48000), Biquad.LowShelf(50, gainDb, q, 48000), Biquad.HighShelf(50, gainDb, q, 48000)])
                Assert.All((double[])[filter.B0, filter.B1, filter.B2, filter.A1, filter.A2], value => Assert.True(double.IsFinite(value)));
    }

    [Fact]
    public void Wrong_arguments_are_refused()
    {
        foreach (var wrongHz in (double[])[0, -50, 24000, double.NaN])
            Assert.Equal("frequencyHz", Assert.Throws<ArgumentOutOfRangeException>(() => Biquad.Notch(wrongHz, 1, 48000)).ParamName);
        foreach (var wrongQ in (double[])[0, -1, double.NaN, double.PositiveInfinity])
            Assert.Equal("q", Assert.Throws<ArgumentOutOfRangeException>(() => Biquad.Peaking(50, 3, wrongQ, 48000)).ParamName);
        foreach (var wrongQ in (double[])[1e-7, 1e7])   // coefficients beyond all numbers, or ringing for ever, are no filter
            Assert.Contains("[1e-6, 1e6]", Assert.Throws<ArgumentOutOfRangeException>(() => Biquad.LowPass(50, wrongQ, 48000)).Message);
        foreach (var wrongDb in (double[])[double.NaN, 1001, double.NegativeInfinity])
            foreach (var call in (Action[])[() => Biquad.LowShelf(50, wrongDb, 1, 48000), () => Biquad.HighShelf(50, wrongDb, 1, 48000), () => Biquad.Peaking(50, wrongDb, 1, 48000), () => Biquad.QOfSlope(1, wrongDb)])
            {
                var thrown = Assert.Throws<ArgumentOutOfRangeException>(call);
                Assert.Equal("gainDb", thrown.ParamName);
                Assert.Contains("[−1000, 1000] dB", thrown.Message);
            }
        Assert.Equal("sampleRateHz", Assert.Throws<ArgumentOutOfRangeException>(() => Biquad.LowPass(50, 1, 0)).ParamName);
        Assert.Equal("frequencyHz", Assert.Throws<ArgumentOutOfRangeException>(() => Biquad.LowPass(50, 1, 48000).ResponseAt(24001)).ParamName);
    }

    private static double LevelDb(Biquad filter, double frequencyHz) => Decibels.FromAmplitude(filter.ResponseAt(frequencyHz).Magnitude);
}
