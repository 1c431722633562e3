// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Filters;
using Sweepbook.Quantities;
using Sweepbook.Tests.Transforms;
using Xunit;

namespace Sweepbook.Tests.Filters;

public sealed class FilterCascadeTests
{
    private const double Rounding = 1e-12;          // sums of some thousand products of size 1

    private const double HalfFourthDecimal = 5e-5;  // levels printed to four decimals

    private const double OfTheFactSheetDb = 1e-8;

    [Theory, InlineData(1), InlineData(2), InlineData(3), InlineData(5), InlineData(8)]
    public void Butterworth_attenuation_is_the_closed_form_of_the_warped_frequency(int order)
    {
        FilterCascade low = FilterCascade.ButterworthLowPass(3000, order, 48000), high = FilterCascade.ButterworthHighPass(3000, order, 48000);
        foreach (var hz in (double[])[200, 1500, 3000, 7000, 20000])
        {
            var ratio = Math.Tan(Math.PI * hz / 48000) / Math.Tan(Math.PI * 3000 / 48000);
            Assert.Equal(-10 * Math.Log10(1 + Math.Pow(ratio, 2 * order)), LevelDb(low, hz), OfTheFactSheetDb);
            Assert.Equal(-10 * Math.Log10(1 + Math.Pow(ratio, -2 * order)), LevelDb(high, hz), OfTheFactSheetDb);
        }
    }

    [Theory, InlineData(1), InlineData(2), InlineData(3), InlineData(4), InlineData(7)]
    public void A_band_pass_is_3_dB_down_at_both_edges_and_whole_between(int order)
    {
        var band = FilterCascade.ButterworthBandPass(500, 2000, order, 48000);
        Assert.Equal(order, band.Sections.Count);
        Assert.Equal(-3.0103, LevelDb(band, 500), HalfFourthDecimal);
        Assert.Equal(-3.0103, LevelDb(band, 2000), HalfFourthDecimal);
        var centreHz = Math.Atan(Math.Sqrt(Math.Tan(Math.PI * 500 / 48000) * Math.Tan(Math.PI * 2000 / 48000))) * 48000 / Math.PI;
        Assert.Equal(0, LevelDb(band, centreHz), OfTheFactSheetDb);
    }

    [Fact]
    public void Linkwitz_Riley_halves_of_fourth_order_meet_the_fact_sheet()   // fact sheet 12.4
    {
        FilterCascade low = FilterCascade.LinkwitzRileyLowPass(80, 4, 48000), high = FilterCascade.LinkwitzRileyHighPass(80, 4, 48000);
        Assert.Equal(-6.0206, LevelDb(low, 80), HalfFourthDecimal);
        Assert.Equal(-6.0206, LevelDb(high, 80), HalfFourthDecimal);
        const double AnalogueDb = 0.002;   // the printed −24.609 and −0.5266 dB are analogue; at 160 of 48000 Hz the warping is 1e-4
        Assert.Equal(-24.609, LevelDb(low, 160), AnalogueDb);
        Assert.Equal(-0.52658, LevelDb(low, 40), AnalogueDb);
        var allPass = Biquad.AllPass(80, Math.Sqrt(0.5), 48000);
        foreach (var hz in (double[])[20, 40, 80, 160, 320, 5000])
        {
            var sum = low.ResponseAt(hz) + high.ResponseAt(hz);
            Assert.Equal(0, Decibels.FromAmplitude(sum.Magnitude), OfTheFactSheetDb);
            Assert.InRange((sum - allPass.ResponseAt(hz)).Magnitude, 0, 1e-9);
            Assert.Equal(0, (low.ResponseAt(hz) / high.ResponseAt(hz)).Phase, 1e-7);
        }
        Assert.Equal(180, Math.Abs((low.ResponseAt(80) + high.ResponseAt(80)).Phase) * 180 / Math.PI, 1e-6);
        var delaySeconds = -(low.ResponseAt(0.5) + high.ResponseAt(0.5)).Phase / (2 * Math.PI * 0.5);
        Assert.Equal(5.62698e-3, delaySeconds, 1e-6);   // group delay at 0 Hz; at 0.5 Hz it is (1/160)² different
    }

    [Theory, InlineData(2, -1), InlineData(4, 1), InlineData(6, -1), InlineData(8, 1)]
    public void Linkwitz_Riley_halves_of_any_even_order_add_to_an_all_pass(int order, int polarity)
    {
        FilterCascade low = FilterCascade.LinkwitzRileyLowPass(200, order, 48000), high = FilterCascade.LinkwitzRileyHighPass(200, order, 48000);
        foreach (var hz in (double[])[20, 150, 200, 270, 3000])
            Assert.Equal(0, Decibels.FromAmplitude((low.ResponseAt(hz) + polarity * high.ResponseAt(hz)).Magnitude), 1e-7);
    }

    [Theory, InlineData(30), InlineData(1000), InlineData(15000)]
    public void A_first_order_all_pass_turns_a_quarter_at_its_frequency(double frequencyHz)
    {
        var filter = Biquad.AllPassFirstOrder(frequencyHz, 48000);
        foreach (var hz in (double[])[0, 10, frequencyHz, 23000]) Assert.Equal(1, filter.ResponseAt(hz).Magnitude, 1e-12);
        Assert.Equal(-90, filter.ResponseAt(frequencyHz).Phase * 180 / Math.PI, 1e-9);
        Assert.Equal(0, filter.ResponseAt(0).Phase, 1e-12);
    }

    [Fact]
    public void Band_passes_of_the_cookbook_have_their_peak_and_width()
    {
        var q = Biquad.QOfBandwidth(1, 1000, 48000);
        Assert.Equal(0, LevelDb(FilterCascade.Of(Biquad.BandPass(1000, q, 48000)), 1000), OfTheFactSheetDb);
        Assert.Equal(20 * Math.Log10(4), LevelDb(FilterCascade.Of(Biquad.BandPassConstantSkirt(1000, 4, 48000)), 1000), OfTheFactSheetDb);
        foreach (var hz in (double[])[1000 / Math.Sqrt(2), 1000 * Math.Sqrt(2)])   // an octave between them
            Assert.Equal(-3.01, LevelDb(FilterCascade.Of(Biquad.BandPass(1000, q, 48000)), hz), 0.05);   // approximately so near half the rate
        Assert.Equal(Math.Sqrt(0.5), Biquad.QOfSlope(1, 6), 1e-15);
        Assert.True(Biquad.QOfSlope(0.5, 6) < Biquad.QOfSlope(1, 6));
    }

    [Fact]
    public void Filtering_is_the_plain_recursion()
    {
        var cascade = FilterCascade.ButterworthBandPass(300, 4000, 3, 48000).Then(FilterCascade.Of(Biquad.Peaking(900, 5, 3, 48000)));
        var x = Noise(777);
        Assert.InRange(Worst(Recursion(cascade, x), cascade.Causal(x)), 0, Rounding);
        double[] reversed = [.. x.Reverse()];
        Assert.InRange(Worst([.. Recursion(cascade, reversed).Reverse()], cascade.TimeReversed(x)), 0, Rounding);
    }

    [Theory, InlineData(1), InlineData(2), InlineData(997)]
    public void Zero_phase_is_both_passes_in_a_long_silence(int count)
    {
        const int Silence = 20000;
        var cascade = FilterCascade.ButterworthHighPass(80, 4, 48000);
        double[] x = Noise(count), padded = [.. new double[Silence], .. x, .. new double[Silence]];
        double[] once = [.. Recursion(cascade, padded).Reverse()];
        double[] both = [.. Recursion(cascade, once).Reverse()];
        Assert.InRange(Worst(both[Silence..^Silence], cascade.ZeroPhase(x)), 0, 1e-9);   // direct form I near z = 1 loses digits: angle 0.01, squared
    }

    /// <summary>Both passes together know no direction of time, at the very ends of a signal least of all: there the ringing of the first pass must be whole.</summary>
    [Theory, InlineData(2), InlineData(4)]
    public void Zero_phase_of_a_reversed_signal_is_the_reversed_result(int order)
    {
        const double Recursion = 1e-11;   // the ringing cut where it has fallen to 1e-3 would leave its square
        var cascade = FilterCascade.LinkwitzRileyLowPass(100, order, 48000);
        double[] x = [.. Noise(900), 1], reversed = [1, .. Noise(900).Reverse()];
        Assert.InRange(Worst([.. cascade.ZeroPhase(x).Reverse()], cascade.ZeroPhase(reversed)), 0, Recursion);
    }

    [Fact]
    public void Zero_phase_has_the_squared_magnitude_and_no_delay()
    {
        var cascade = FilterCascade.ButterworthLowPass(2000, 3, 48000);
        const double Hz = 2000;
        double[] x = [.. Enumerable.Range(0, 9600).Select(n => Math.Cos(2 * Math.PI * Hz * n / 48000))];
        var y = cascade.ZeroPhase(x);
        for (var n = 4000; n < 5000; n++) Assert.Equal(0.5 * x[n], y[n], 1e-9);   // −6.02 dB at the corner
    }

    [Fact]
    public void Blocks_of_any_size_give_the_same_and_states_are_apart()
    {
        var cascade = FilterCascade.LinkwitzRileyHighPass(120, 4, 48000);
        double[] left = Noise(1000), right = [.. Noise(1000).Reverse()];
        FilterState ofLeft = cascade.NewState(), ofRight = cascade.NewState();
        double[] a = new double[1000], b = (double[])right.Clone();
        foreach (var (start, end) in ((int, int)[])[(0, 1), (1, 1), (1, 257), (257, 1000)])
        {
            cascade.Run(left.AsSpan(start..end), a.AsSpan(start..end), ofLeft);
            cascade.Run(b.AsSpan(start..end), b.AsSpan(start..end), ofRight);   // in place
        }
        Assert.Equal(cascade.Causal(left), a);
        Assert.Equal(cascade.Causal(right), b);
        ofLeft.Reset();
        cascade.Run(left, a, ofLeft);
        Assert.Equal(cascade.Causal(left), a);
    }

    [Fact]
    public void A_filter_that_rings_for_ever_has_no_zero_phase_use()
    {
        var thrown = Assert.Throws<InvalidOperationException>(() => FilterCascade.Of(Biquad.Peaking(0.001, 6, 1000, 48000)).ZeroPhase([1]));
        Assert.Contains("at most 67108864", thrown.Message);
    }

    [Fact]
    public void The_faintest_signals_are_filtered_as_loud_ones_are()   // a power of two scales to the last bit
    {
        const double Faint = 1.0 / (1L << 50) / (1L << 50) / (1L << 50) / (1L << 50);   // −1200 dB
        double[] x = Noise(3000), faint = [.. x.Select(value => Faint * value)];
        var cascade = FilterCascade.ButterworthBandPass(300, 4000, 3, 48000);
        Assert.Equal(cascade.Causal(x).Select(value => Faint * value), cascade.Causal(faint));
        foreach (var band in (BandFilter[])[BandFilter.ThirdOctave(1000, 48000), BandFilter.ThirdOctave(1000, 48000).AtOwnRate()])
        {
            Assert.Equal(band.Causal(x).Select(value => Faint * value), band.Causal(faint));
            Assert.Equal(band.ZeroPhase(x).Select(value => Faint * value), band.ZeroPhase(faint));
        }
    }

    [Fact]
    public void A_sample_that_is_not_finite_is_found_wherever_it_is()
    {
        var cascade = FilterCascade.ButterworthLowPass(100, 2, 48000);
        foreach (var wrong in (double[])[double.NaN, double.PositiveInfinity, double.NegativeInfinity])
            for (var count = 1; count < 10; count++)
                for (var at = 0; at < count; at++)
                {
                    var samples = new double[count];
                    samples[at] = wrong;
                    Assert.StartsWith($"Sample {at} is {wrong}; must be finite", Refused("samples", () => cascade.Causal(samples)));
                }
    }

    [Fact]
    public void A_block_allocates_nothing()
    {
        var cascade = FilterCascade.ButterworthBandPass(300, 4000, 3, 48000);
        var state = cascade.NewState();
        double[] x = Noise(4096), y = new double[4096];
        Assert.Equal(0, Allocation.BytesOf(() => cascade.Run(x, y, state)));
    }

    [Fact]
    public void Wrong_arguments_are_refused_by_name()
    {
        Refused("order", () => FilterCascade.ButterworthLowPass(100, 0, 48000));
        Refused("order", () => FilterCascade.LinkwitzRileyLowPass(100, 3, 48000));
        Refused("cornerHz", () => FilterCascade.ButterworthHighPass(24000, 2, 48000));
        Refused("cornerHz", () => FilterCascade.ButterworthHighPass(double.NaN, 2, 48000));
        Refused("lowerHz", () => FilterCascade.ButterworthBandPass(200, 200, 2, 48000));
        Refused("upperHz", () => FilterCascade.ButterworthBandPass(200, 24000, 2, 48000));
        Refused("sampleRateHz", () => FilterCascade.ButterworthLowPass(100, 2, 0));
        Refused("frequencyHz", () => Biquad.AllPassFirstOrder(24000, 48000));
        Refused("bandwidthOctaves", () => Biquad.QOfBandwidth(0, 1000, 48000));
        Refused("slopeRatio", () => Biquad.QOfSlope(1.5, 6));
        Refused("sections", () => FilterCascade.Of());
        Refused("sections", () => FilterCascade.Of(Biquad.Notch(50, 1, 48000), Biquad.Notch(50, 1, 44100)));
        Refused("sections", () => FilterCascade.Of(default(Biquad)));
        var cascade = FilterCascade.ButterworthLowPass(100, 2, 48000);
        Refused("next", () => cascade.Then(FilterCascade.ButterworthLowPass(100, 2, 44100)));
        Refused("next", () => cascade.Then(null!));
        Refused("state", () => cascade.Run([], [], null!));
        Refused("order", () => FilterCascade.ButterworthLowPass(100, 17, 48000));
        Refused("order", () => FilterCascade.LinkwitzRileyHighPass(100, 18, 48000));
        Refused("samples", () => cascade.Causal([]));
        Refused("samples", () => cascade.ZeroPhase([1, double.NaN]));
        Refused("samples", () => cascade.TimeReversed([1, 2, 3, 4, 5, double.PositiveInfinity]));
        Refused("state", () => cascade.Run([], [], FilterCascade.ButterworthLowPass(100, 2, 48000).NewState()));
        Refused("output", () => cascade.Run([1], [], cascade.NewState()));
        var shared = new double[10];
        Refused("output", () => cascade.Run(shared.AsSpan(0, 5), shared.AsSpan(1, 5), cascade.NewState()));
    }

    /// <summary>The message, once the parameter has been found right.</summary>
    internal static string Refused(string parameter, Action call)
    {
        var thrown = Assert.ThrowsAny<ArgumentException>(call);
        Assert.Equal(parameter, thrown.ParamName);
        return thrown.Message;
    }

    internal static double[] Noise(int count)
    {
        var random = new Random(7);
        return [.. Enumerable.Range(0, count).Select(_ => 2 * random.NextDouble() - 1)];
    }

    internal static double Worst(double[] expected, double[] actual)
    {
        Assert.Equal(expected.Length, actual.Length);
        return expected.Zip(actual, (a, b) => Math.Abs(a - b)).Max();
    }

    /// <summary>The difference equation as written, section by section.</summary>
    internal static double[] Recursion(FilterCascade cascade, double[] samples)
    {
        foreach (var s in cascade.Sections)
        {
            var x = samples;
            var y = new double[x.Length];
            for (var n = 0; n < x.Length; n++)
                y[n] = s.B0 * x[n] + (n > 0 ? s.B1 * x[n - 1] - s.A1 * y[n - 1] : 0) + (n > 1 ? s.B2 * x[n - 2] - s.A2 * y[n - 2] : 0);
            samples = y;
        }
        return samples;
    }

    private static double LevelDb(FilterCascade cascade, double frequencyHz) => Decibels.FromAmplitude(cascade.ResponseAt(frequencyHz).Magnitude);
}
