// SPDX-License-Identifier: MIT
using System.Numerics;
using MathNet.Numerics.IntegralTransforms;
using Sweepbook.Transforms;
using Xunit;
using static Sweepbook.Tests.Transforms.SlowFourier;

namespace Sweepbook.Tests.Transforms;

public sealed class FourierTransformTests
{
    /// <summary>The promise of the transform: 1e-15 · log2 N relative rms; a single number has none to lose.</summary>
    private static double Promise(int length) => 1e-15 * Math.Max(1, Math.Log2(length));

    /// <summary>The slow rotations: an angle of up to 2π is rounded to 4e-16.</summary>
    private const double SlowAngle = 4e-16;

    /// <summary>The slow sum adds N rounded products: its own error grows like √N · 1.1e-16.</summary>
    internal static double WithSlowSum(int length) => Promise(length) + SlowAngle + 1.1e-16 * Math.Sqrt(length);

    /// <summary>
    /// MathNet agrees to its own accuracy: at powers of two close to ours; at other lengths its chirp takes the angle πn²/N of an
    /// unreduced n², which is off by up to πN · 1.1e-16 rad, so agreement grows worse with N.
    /// </summary>
    private static double WithMathNet(int length) => Promise(length) + (BitOperations.IsPow2(length) ? 1e-15 : 1e-14 + 3.5e-16 * length);

    public static TheoryData<int> SmallLengths =>
        [.. Enumerable.Range(1, 40).Where(IsFast), 45, 48, 54, 60, 64, 75, 80, 96, 100, 120, 125, 128, 135, 180, 225, 240, 243, 250, 256, 300, 360, 480, 625, 729, 960, 1000];

    public static TheoryData<int> AllLengths =>
        [.. SmallLengths.Select(row => row.Data), 3375, 1 << 13, 1 << 14, 16200, 48000, 240000];

    [Theory, MemberData(nameof(SmallLengths))]
    public void Complex_bins_are_those_of_the_plain_sum(int length)
    {
        var values = ComplexNoise(length);
        Assert.InRange(RelativeRms(Dft(values), FourierTransform.Forward(values)), 0, WithSlowSum(length));
    }

    [Theory, MemberData(nameof(SmallLengths))]
    public void Real_bins_are_those_of_the_plain_sum(int length)
    {
        var samples = Noise(length);
        var expected = Dft(Complexes(samples))[..(length / 2 + 1)];
        Assert.InRange(RelativeRms(expected, FourierTransform.OfReal(samples, length)), 0, WithSlowSum(length));
    }

    [Theory, MemberData(nameof(SmallLengths))]
    public void Both_register_widths_agree_with_the_plain_sum(int length)
    {
        var values = ComplexNoise(length);
        foreach (var pairs in (bool[])[false, true])
        {
            var bins = new Complex[length];
            FourierPlan.Of(length).Forward(values, bins, new Complex[length], pairs);
            Assert.InRange(RelativeRms(Dft(values), bins), 0, WithSlowSum(length));
        }
    }

    [Theory, MemberData(nameof(AllLengths))]
    public void Complex_bins_are_those_of_MathNet(int length)
    {
        var values = ComplexNoise(length);
        var expected = values.ToArray();
        Fourier.Forward(expected, FourierOptions.AsymmetricScaling);
        Assert.InRange(RelativeRms(expected, FourierTransform.Forward(values)), 0, WithMathNet(length));
    }

    [Theory, MemberData(nameof(AllLengths))]
    public void Real_bins_are_those_of_MathNet(int length)
    {
        var samples = Noise(length);
        var expected = Complexes(samples);
        Fourier.Forward(expected, FourierOptions.NoScaling);
        Assert.InRange(RelativeRms(expected[..(length / 2 + 1)], FourierTransform.OfReal(samples, length)), 0, WithMathNet(length));
    }

    [Theory, MemberData(nameof(AllLengths))]
    public void Complex_there_and_back_gives_the_input(int length)
    {
        var values = ComplexNoise(length);
        Assert.InRange(RelativeRms(values, FourierTransform.Inverse(FourierTransform.Forward(values))), 0, 2 * Promise(length));
    }

    [Theory, MemberData(nameof(AllLengths))]
    public void Real_there_and_back_gives_the_input(int length)
    {
        var samples = Noise(length);
        Assert.InRange(RelativeRms(samples, FourierTransform.ToReal(FourierTransform.OfReal(samples, length), length)), 0, 2 * Promise(length));
    }

    [Theory, MemberData(nameof(AllLengths))]
    public void The_energy_is_the_same_in_time_and_in_frequency(int length)   // Parseval
    {
        var samples = Noise(length);
        var bins = FourierTransform.OfReal(samples, length);
        double inTime = samples.Sum(x => x * x), inFrequency = 0;
        for (var k = 0; k < bins.Length; k++)
            inFrequency += (k == 0 || 2 * k == length ? 1 : 2) * (bins[k].Real * bins[k].Real + bins[k].Imaginary * bins[k].Imaginary);
        const double SumOfSquares = 1e-13;   // up to 240 000 rounded squares on either side: √N · 1.1e-16
        Assert.Equal(1, inFrequency / length / inTime, SumOfSquares);
    }

    [Theory, MemberData(nameof(AllLengths))]
    public void A_sum_of_signals_has_the_sum_of_their_bins(int length)   // linearity
    {
        double[] a = Noise(length), b = Noise(length, 3);
        var (ofA, ofB) = (FourierTransform.OfReal(a, length), FourierTransform.OfReal(b, length));
        Complex[] expected = [.. ofA.Zip(ofB, (x, y) => 2 * x - 3 * y)];
        double[] mixed = [.. a.Zip(b, (x, y) => 2 * x - 3 * y)];
        Assert.InRange(RelativeRms(expected, FourierTransform.OfReal(mixed, length)), 0, 3 * Promise(length));
    }

    [Theory, MemberData(nameof(AllLengths))]
    public void A_delayed_impulse_has_a_falling_phase(int length)   // closed form: e^(−j2πkd/N)
    {
        foreach (var delay in (int[])[0, 1 % length, length / 3, length - 1])
        {
            var samples = new double[length];
            samples[delay] = 1;
            Complex[] expected = [.. Enumerable.Range(0, length / 2 + 1).Select(k => Rotation((long)k * delay % length, length))];
            Assert.InRange(RelativeRms(expected, FourierTransform.OfReal(samples, length)), 0, Promise(length) + SlowAngle);
        }
    }

    /// <summary>Largest error of a single bin, for 2^14 and 240 000: bins picked over the whole range, against an exact-angle sum.</summary>
    [Theory, InlineData(1 << 14), InlineData(240000), InlineData(1 << 17)]
    public void Bins_all_over_a_long_transform_are_those_of_the_plain_sum(int length)
    {
        var samples = Noise(length);
        var bins = FourierTransform.OfReal(samples, length);
        int[] picked = [0, 1, 2, 3, length / 7, length / 4 - 1, length / 4, length / 4 + 1, length / 3, length / 2 - 1, length / 2];
        Assert.InRange(RelativeRms([.. picked.Select(k => Bin(samples, k))], [.. picked.Select(k => bins[k])]), 0, WithSlowSum(length));
    }

    [Fact]
    public void Missing_samples_count_as_zero()
    {
        double[] samples = [1, -2, 3, 0.5, 7], padded = [.. samples, 0, 0, 0];
        Assert.Equal(FourierTransform.OfReal(padded, 8), FourierTransform.OfReal(samples, 8));
        Assert.Equal(FourierTransform.OfReal([.. padded, 0], 9), FourierTransform.OfReal(samples, 9));
    }

    [Theory, InlineData(64), InlineData(135)]
    public void Nothing_of_an_earlier_transform_is_left_in_borrowed_memory(int length)
    {
        var (few, loud) = (Noise(5, 9), ComplexNoise(length).Select(value => 1e6 * value).ToArray());
        double[] padded = [.. few, .. new double[length - 5]];
        var expected = FourierTransform.OfReal(padded, length);
        FourierTransform.Inverse(FourierTransform.Forward(loud));
        FourierTransform.OfReal([.. loud.Select(value => value.Real)], length);
        Assert.Equal(expected, FourierTransform.OfReal(few, length));
    }

    [Fact]
    public void The_input_is_left_alone()
    {
        var (samples, values) = (Noise(60), ComplexNoise(60));
        var (samplesBefore, valuesBefore) = (samples.ToArray(), values.ToArray());
        var bins = FourierTransform.OfReal(samples, 60);
        var binsBefore = bins.ToArray();
        FourierTransform.ToReal(bins, 60);
        FourierTransform.Inverse(values);
        FourierTransform.Forward(values);
        Assert.Equal(samplesBefore, samples);
        Assert.Equal(valuesBefore, values);
        Assert.Equal(binsBefore, bins);
    }

    [Theory, InlineData(64), InlineData(45)]
    public void A_NaN_reaches_every_bin(int length)
    {
        var samples = Noise(length);
        samples[length / 2] = double.NaN;
        Assert.All(FourierTransform.OfReal(samples, length), bin => Assert.True(double.IsNaN(bin.Real)));
    }

    [Fact]
    public void Threads_may_share_a_length()
    {
        var samples = Noise(5400);
        var expected = FourierTransform.OfReal(samples, 5400);
        Parallel.For(0, 32, _ => Assert.Equal(expected, FourierTransform.OfReal(samples, 5400)));
    }

    [Theory, InlineData(4800), InlineData(3375), InlineData(1 << 17)]
    public void Nothing_is_allocated_once_a_length_has_been_used(int length)
    {
        double[] samples = Noise(length), back = new double[length];
        var bins = new Complex[length / 2 + 1];
        Complex[] values = ComplexNoise(length), spectrum = new Complex[length];
        Assert.Equal(0, Allocation.BytesOf(All));

        void All()
        {
            FourierTransform.OfReal(samples, length, bins);
            FourierTransform.ToReal(bins, back);
            FourierTransform.Forward(values, spectrum);
            FourierTransform.Inverse(spectrum, values);
        }
    }

    [Theory, InlineData(1), InlineData(60), InlineData(375), InlineData(512)]
    public void A_span_receives_what_an_array_would(int length)
    {
        Complex[] values = ComplexNoise(length), bins = new Complex[length], back = new Complex[length];
        FourierTransform.Forward(values, bins);
        FourierTransform.Inverse(values, back);
        Assert.Equal(FourierTransform.Forward(values), bins);
        Assert.Equal(FourierTransform.Inverse(values), back);
    }

    [Theory, InlineData(1), InlineData(2), InlineData(3), InlineData(4), InlineData(6), InlineData(8), InlineData(12), InlineData(20), InlineData(75), InlineData(240), InlineData(4096)]
    public void Mirrored_and_turned_roots_are_those_computed_one_by_one(int count)
    {
        Complex[] expected = [.. Enumerable.Range(0, count).Select(k => RootsOfUnity.At(k, count))];
        Assert.Equal(expected, RootsOfUnity.All(count));
        Assert.Equal([.. Enumerable.Range(0, count / 4 + 1).Select(k => RootsOfUnity.At(k, count))], RootsOfUnity.FirstQuarter(count));
        Assert.All(expected.Index(), root => Assert.InRange((root.Item - Rotation(root.Index, count)).Magnitude, 0, 4 * SlowAngle));
    }

    private static bool IsFast(int length) => FourierTransform.NextFastLength(length) == length;
}
