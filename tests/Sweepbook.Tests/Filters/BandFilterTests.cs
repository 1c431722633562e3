// SPDX-License-Identifier: MIT
using Sweepbook.Filters;
using Sweepbook.Quantities;
using Sweepbook.Tests.Transforms;
using Xunit;

namespace Sweepbook.Tests.Filters;

public sealed class BandFilterTests
{
    private const double HundredthDb = 0.01;

    /// <summary>A steady sine, measured after ringing of −240 dB; what is left is rounding of both sides.</summary>
    private const double SineDb = 1e-5;

    private static readonly FilterUse[] Uses = [FilterUse.Causal, FilterUse.TimeReversed, FilterUse.ZeroPhase];

    public static TheoryData<int, int> RatesAndBands => new(
        from rateHz in (int[])[16000, 22050, 32000, 44100, 48000, 88200, 96000, 176400, 192000]
        from bandsPerOctave in (int[])[1, 2, 3, 6, 12, 24]
        select (rateHz, bandsPerOctave));

    [Theory, MemberData(nameof(RatesAndBands))]
    public void Every_band_keeps_the_class_1_limits_as_used(int rateHz, int bandsPerOctave)
    {
        var checkedBands = 0;
        foreach (var band in Bands(16, 16000, bandsPerOctave).Where(band => band.UpperHz < 0.45 * rateHz))
        {
            var full = BandFilter.Of(band, rateHz);
            foreach (var filter in (BandFilter[])[full, full.AtOwnRate()])
                foreach (var use in Uses) Keeps(filter, use, rateHz);
            checkedBands++;
        }
        Assert.InRange(checkedBands, 8 * bandsPerOctave, 12 * bandsPerOctave);
    }

    /// <summary>The table once more, beside the limits of the library: x, least, most (fact sheet 1.6).</summary>
    private static readonly (double X, double LeastDb, double MostDb)[] Table =
        [(0, -0.4, 0.4), (0.125, -0.4, 0.5), (0.25, -0.4, 0.7), (0.375, -0.4, 1.4), (0.5, 1.2, 5.3), (1, 16.6, 1e9), (2, 40.5, 1e9), (3, 60, 1e9), (4, 70, 1e9)];

    private static void Keeps(BandFilter filter, FilterUse use, int rateHz)
    {
        const double G = 1.9952623149688795;
        foreach (var (x, leastDb, mostDb) in Table)
        {
            var ratio = 1 + (Math.Pow(G, 0.5 / filter.Band.BandsPerOctave) - 1) / (Math.Sqrt(G) - 1) * (Math.Pow(G, x) - 1);
            foreach (var hz in (double[])[filter.Band.CentreHz / ratio, filter.Band.CentreHz * ratio])
                if (hz < rateHz / 2.0)
                    Assert.True(filter.AttenuationDb(hz, use) >= leastDb && filter.AttenuationDb(hz, use) <= mostDb,
                        $"{filter.Band} at {rateHz} Hz, {filter.OutputRateHz} Hz out, {use}, {hz} Hz: {filter.AttenuationDb(hz, use)} dB");
        }
        Assert.InRange(filter.Class1MarginDb(use), 0.05, 0.4);
    }

    // An analogue Butterworth of three pole pairs (fact sheet 1.7 and its table for thirds): x = 3/8, 1/2, 1, 2, 3.
    [Theory, InlineData(1, new[] { 0.6781, 3.0103, 19.6336, 43.4257, 62.7075 }), InlineData(3, new[] { 0.6003, 3.0103, 21.2921, 46.0355, 64.3427 })]
    public void One_pass_is_the_third_order_of_the_fact_sheet(int bandsPerOctave, double[] attenuationsDb)
    {
        var filter = BandFilter.Of(new FrequencyBand(bandsPerOctave == 1 ? -3 : -9, bandsPerOctave), 192000);   // 126 Hz: warping is 1e-6
        var ratios = Class1Limits.BreakpointRatios(bandsPerOctave);
        for (var k = 0; k < attenuationsDb.Length; k++)
            Assert.Equal(attenuationsDb[k], filter.AttenuationDb(filter.Band.CentreHz * ratios[k + 3], FilterUse.Causal), HundredthDb);
    }

    [Fact]
    public void The_third_order_run_both_ways_would_fail()   // 6.02 dB where 5.3 are allowed
    {
        var filter = BandFilter.ThirdOctave(1000, 48000);
        var twiceDb = 2 * filter.AttenuationDb(filter.Band.UpperHz, FilterUse.Causal);
        Assert.Equal(6.0206, twiceDb, HundredthDb);
        Assert.True(twiceDb > Class1Limits.MostDb(filter.Band, filter.Band.UpperHz * (1 - 1e-9)));
    }

    [Theory, InlineData(63, 16000), InlineData(1000, 48000), InlineData(6300, 16000)]
    public void A_steady_sine_is_attenuated_as_the_filter_says(double bandHz, int rateHz)
    {
        foreach (var filter in (BandFilter[])[BandFilter.ThirdOctave(bandHz, rateHz), BandFilter.ThirdOctave(bandHz, rateHz).AtOwnRate()])
            foreach (var use in Uses)
                foreach (var hz in (double[])[filter.Band.CentreHz, filter.Band.LowerHz, 0.99 * filter.Band.UpperHz, 0.8 * filter.Band.CentreHz])
                {
                    var settle = (int)(4 * filter.RingingSeconds(use) * rateHz) + 1000;
                    double[] sine = [.. Enumerable.Range(0, 2 * settle + 8000).Select(n => Math.Sin(2 * Math.PI * hz * n / rateHz))];
                    var signal = filter.Of(sine, use);
                    var step = (int)(rateHz / filter.OutputRateHz);
                    Assert.Equal(filter.AttenuationDb(hz, use), -LevelOfSine(signal[(settle / step)..^(settle / step)], hz / filter.OutputRateHz), SineDb);
                }
    }

    [Theory, InlineData(25, 48000), InlineData(1000, 48000), InlineData(16, 192000), InlineData(6300, 16000)]
    public void One_pass_is_the_plain_recursion_of_its_sections(double bandHz, int rateHz)
    {
        var filter = BandFilter.ThirdOctave(bandHz, rateHz);
        var x = FilterCascadeTests.Noise(4003);
        var lostDigits = 1e-15 / Math.Pow(2 * Math.PI * bandHz / rateHz, 2);   // of coefficients that nearly cancel at z = 1, in the recursion
        var expected = FilterCascadeTests.Recursion(filter.ToCascade(), x);
        Assert.InRange(FilterCascadeTests.Worst(expected, filter.Causal(x)), 0, 1e-12 + lostDigits);
        expected = [.. FilterCascadeTests.Recursion(filter.ToCascade(), [.. x.Reverse()]).Reverse()];
        Assert.InRange(FilterCascadeTests.Worst(expected, filter.TimeReversed(x)), 0, 1e-12 + lostDigits);
    }

    [Theory, InlineData(1), InlineData(2), InlineData(7), InlineData(8), InlineData(9), InlineData(1001)]
    public void Signals_of_any_length_are_the_middle_of_a_longer_one(int count)
    {
        const int Silence = 8 * 500 + 3;
        var filter = BandFilter.ThirdOctave(1000, 48000);
        var x = FilterCascadeTests.Noise(count);
        double[] padded = [.. new double[Silence], .. x, .. new double[Silence]];
        foreach (var use in Uses)
            Assert.InRange(FilterCascadeTests.Worst(filter.Of(padded, use)[Silence..^Silence], filter.Of(x, use)), 0, 1e-13);
    }

    [Fact]
    public void Zero_phase_of_an_impulse_is_symmetric_and_time_reversal_mirrors_the_causal_one()
    {
        var filter = BandFilter.ThirdOctave(500, 48000);
        var impulse = new double[2001];
        impulse[1000] = 1;
        double[] both = filter.ZeroPhase(impulse), causal = filter.Causal(impulse), reversed = filter.TimeReversed(impulse);
        Assert.InRange(FilterCascadeTests.Worst([.. both.Reverse()], both), 0, 1e-15);
        Assert.InRange(FilterCascadeTests.Worst([.. reversed.Reverse()], causal), 0, 1e-15);
        Assert.Equal(both.Max(), both[1000]);
        Assert.All(causal[..1000], value => Assert.Equal(0, value));
    }

    [Fact]
    public void Bandwidths_are_the_closed_forms()
    {
        var third = BandFilter.ThirdOctave(125, 192000);
        var nominalHz = third.Band.UpperHz - third.Band.LowerHz;
        // ∫ of a Butterworth of order n is π/(2n) / sin(π/(2n)) of its width; n = 3: 1.0472. Zero-phase use is widened to 1.
        const double Warping = 1e-5;
        Assert.Equal(Math.PI / 6 / Math.Sin(Math.PI / 6), third.EffectiveBandwidthHz(FilterUse.Causal) / nominalHz, Warping);
        Assert.Equal(1, third.EffectiveBandwidthHz(FilterUse.ZeroPhase) / nominalHz, Warping);
    }

    /// <summary>∫ |H|² df/f of the analogue filters by numerical integration in another program, at 126 Hz of 192 000, where warping is 1e-5.</summary>
    [Theory, InlineData(1, -3, 0.165429, -0.031437), InlineData(3, -9, 0.195645, -0.004126), InlineData(24, -72, 0.200211, -0.000066)]
    public void Integrated_responses_are_those_of_the_analogue_filters(int bandsPerOctave, int index, double onceDb, double twiceDb)
    {
        const double WarpingDb = 1e-4;
        var filter = BandFilter.Of(new FrequencyBand(index, bandsPerOctave), 192000);
        Assert.Equal(onceDb, filter.IntegratedResponseDb(FilterUse.Causal), WarpingDb);
        Assert.Equal(onceDb, filter.IntegratedResponseDb(FilterUse.TimeReversed), WarpingDb);
        Assert.Equal(twiceDb, filter.IntegratedResponseDb(FilterUse.ZeroPhase), WarpingDb);
    }

    [Fact]
    public void Integrated_responses_stay_within_0_4_dB()   // fact sheet 1.10, quoted from memory
    {
        foreach (var rateHz in (int[])[16000, 48000, 192000])
            foreach (var band in Bands(16, 16000, 3).Concat(Bands(16, 16000, 1)).Where(band => band.UpperHz < 0.45 * rateHz))
                foreach (var filter in (BandFilter[])[BandFilter.Of(band, rateHz), BandFilter.Of(band, rateHz).AtOwnRate()])
                    foreach (var use in Uses) Assert.InRange(filter.IntegratedResponseDb(use), -0.4, 0.4);
    }

    [Fact]
    public void Ringing_is_that_of_the_slowest_pole()
    {
        foreach (var filter in (BandFilter[])[BandFilter.ThirdOctave(500, 48000), BandFilter.ThirdOctave(500, 48000).AtOwnRate()])
            foreach (var use in (FilterUse[])[FilterUse.Causal, FilterUse.ZeroPhase])
            {
                var rateHz = filter.OutputRateHz;
                var impulse = new double[96000];
                impulse[0] = 1;
                var y = filter.Of(impulse, use);
                double Size(int from) => Math.Sqrt(y.Skip(from).Take((int)(0.02 * rateHz)).Sum(value => value * value));   // ten periods
                int start = (int)(0.4 * rateHz), end = (int)((0.4 + 4 * filter.RingingSeconds(use)) * rateHz);
                var expectedDb = 60 * (end - start) / rateHz / filter.RingingSeconds(use);
                const double EnergySwaysDb = 0.7;   // with the phase at either end, by decay rate over angular frequency: 4 %
                Assert.Equal(expectedDb, Decibels.FromAmplitude(Size(start) / Size(end)), EnergySwaysDb);
            }
    }

    [Fact]
    public void A_run_allocates_nothing()
    {
        BandFilter[] filters = [BandFilter.ThirdOctave(1000, 48000)];
        double[] x = FilterCascadeTests.Noise(4099), y = new double[4099];
        Assert.Equal(0, Allocation.BytesOf(() => filters[0].Run(x, y, FilterUse.Causal)));
        Assert.Equal(0, Allocation.BytesOf(() => filters[0].Run(x, y, FilterUse.TimeReversed)));
        Assert.Equal(0, Allocation.BytesOf(() => filters[0].Run(x, y, FilterUse.ZeroPhase)));
        Assert.Equal(filters[0].ZeroPhase(x), y);
    }

    [Fact]
    public void Wrong_arguments_are_refused_by_name()
    {
        Assert.Contains("(0, 10800) Hz", FilterCascadeTests.Refused("band", () => BandFilter.ThirdOctave(10000, 24000)));   // upper edge 11220.18 Hz
        FilterCascadeTests.Refused("band", () => BandFilter.ThirdOctave(10000, 24933));   // 0.45 of it is 11219.85 Hz
        Assert.Equal(24934, BandFilter.ThirdOctave(10000, 24934).SampleRateHz);           // and of this 11220.3 Hz
        Assert.Contains("0 bands per octave; must be in [1, ∞)", FilterCascadeTests.Refused("band", () => BandFilter.Of(default, 48000)));
        Assert.Contains("-3 bands per octave", FilterCascadeTests.Refused("band", () => BandFilter.Of(new FrequencyBand(0, -3), 48000)));
        FilterCascadeTests.Refused("sampleRateHz", () => BandFilter.ThirdOctave(1000, 0));
        FilterCascadeTests.Refused("frequencyHz", () => BandFilter.ThirdOctave(double.NaN, 48000));
        var filter = BandFilter.ThirdOctave(1000, 48000);
        FilterCascadeTests.Refused("frequencyHz", () => filter.AttenuationDb(24000, FilterUse.Causal));
        foreach (var call in (Action[])[() => filter.Run([1], new double[1], (FilterUse)7), () => filter.AttenuationDb(1000, (FilterUse)7),
            () => filter.Class1MarginDb((FilterUse)7), () => filter.EffectiveBandwidthHz((FilterUse)7), () => filter.IntegratedResponseDb((FilterUse)7), () => filter.RingingSeconds((FilterUse)7)])
            FilterCascadeTests.Refused("use", call);
        FilterCascadeTests.Refused("samples", () => filter.ZeroPhase([]));
        FilterCascadeTests.Refused("samples", () => filter.AtOwnRate().TimeReversed([0, double.NaN]));
        FilterCascadeTests.Refused("output", () => filter.Run([1, 2], new double[1], FilterUse.Causal));
        var shared = new double[4];
        FilterCascadeTests.Refused("output", () => filter.Run(shared, shared, FilterUse.ZeroPhase));
        Assert.Throws<InvalidOperationException>(() => BandFilter.ThirdOctave(100, 48000).AtOwnRate().Run(shared, new double[4], FilterUse.Causal));
        FilterCascadeTests.Refused("bands", () => FilterBank.Of([], 48000));
        FilterCascadeTests.Refused("bands", () => FilterBank.Of(null!, 48000));
        FilterCascadeTests.Refused("samples", () => FilterBank.Octaves(125, 4000, 48000).Of([]));
    }

    internal static IEnumerable<FrequencyBand> Bands(double fromHz, double toHz, int bandsPerOctave) =>
        Enumerable.Range(-8 * bandsPerOctave, 14 * bandsPerOctave).Select(index => new FrequencyBand(index, bandsPerOctave))
            .Where(band => band.CentreHz > 0.97 * fromHz && band.CentreHz < 1.03 * toHz);

    /// <summary>Least squares of a sine and a cosine: the level of a sine of size 1 is 0 dB.</summary>
    private static double LevelOfSine(double[] y, double ratio)
    {
        double cc = 0, cs = 0, ss = 0, yc = 0, ys = 0;
        for (var n = 0; n < y.Length; n++)
        {
            var (s, c) = double.SinCosPi(2 * ratio * n);
            (cc, cs, ss, yc, ys) = (cc + c * c, cs + c * s, ss + s * s, yc + y[n] * c, ys + y[n] * s);
        }
        var determinant = cc * ss - cs * cs;
        return Decibels.FromAmplitude(double.Hypot((yc * ss - ys * cs) / determinant, (ys * cc - yc * cs) / determinant));
    }
}
