// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Transforms;
using Xunit;
using static Sweepbook.Tests.Transforms.SlowFourier;

namespace Sweepbook.Tests.Transforms;

public sealed class BlockedFourierPlanTests
{
    /// <summary>One row, one column, squares, blocks that are full and blocks that are not, every radix.</summary>
    public static TheoryData<int> Lengths => [1, 2, 3, 4, 5, 8, 9, 16, 25, 27, 60, 64, 81, 90, 100, 125, 128, 225, 256, 300, 512, 750, 1024];

    [Theory, MemberData(nameof(Lengths))]
    public void Two_sweeps_give_the_bins_of_the_plain_sum(int length)
    {
        var values = ComplexNoise(length);
        foreach (var pairs in (bool[])[false, true])
        {
            var bins = new Complex[length];
            new BlockedFourierPlan(length).Forward(values, bins, new Complex[length], pairs);
            Assert.InRange(RelativeRms(Dft(values), bins), 0, FourierTransformTests.WithSlowSum(length));
        }
    }

    /// <summary>The length at which plans change over: the one before it in passes, this one in two sweeps. Parseval, one tone, and back.</summary>
    [Fact]
    public void The_first_length_in_two_sweeps_keeps_the_laws()
    {
        const int Length = FourierPlan.BlockedFrom, Tone = 123_457;
        const double Rounding = 1e-15 * 21;   // issue and DEVELOPERS.md: 1e-15 · lg2 of the length, relative rms
        var values = new Complex[Length];
        for (var n = 0; n < Length; n++) values[n] = RootsOfUnity.At((long)(Length - Tone) * n, Length) + (n == 7 ? 1000 : 0);
        var bins = FourierTransform.Forward(values);
        var expected = new Complex[Length];
        for (var k = 0; k < Length; k++) expected[k] = 1000 * RootsOfUnity.At(7L * k, Length);
        expected[Tone] += Length;
        Assert.InRange(RelativeRms(expected, bins), 0, Rounding);
        Assert.Equal(1, bins.Sum(Power) / Length / values.Sum(Power), 1e-12);
        Assert.InRange(RelativeRms(values, FourierTransform.Inverse(bins)), 0, 2 * Rounding);
    }

    [Fact]
    public void What_the_pool_lends_may_hold_anything()
    {
        var values = ComplexNoise(45);   // 5 by 9: its blocks are never full
        var (bins, again) = (new Complex[45], new Complex[45]);
        new BlockedFourierPlan(45).Forward(values, bins, new Complex[45], true);
        var lent = System.Buffers.ArrayPool<Complex>.Shared.Rent(3 * 72);
        Array.Fill(lent, new(double.NaN, double.NaN));
        System.Buffers.ArrayPool<Complex>.Shared.Return(lent);
        new BlockedFourierPlan(45).Forward(values, again, new Complex[45], true);
        Assert.Equal(bins, again);
    }

    private static double Power(Complex value) => value.Real * value.Real + value.Imaginary * value.Imaginary;
}
