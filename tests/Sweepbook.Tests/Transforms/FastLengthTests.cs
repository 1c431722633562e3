// SPDX-License-Identifier: MIT
using System.Numerics;
using System.Runtime.InteropServices;
using Sweepbook.Transforms;
using Xunit;

namespace Sweepbook.Tests.Transforms;

public sealed class FastLengthTests
{
    [Fact]
    public void The_next_fast_length_is_the_smallest_with_no_factor_but_two_three_and_five()
    {
        for (var atLeast = 1; atLeast <= 5000; atLeast++)
        {
            var obvious = atLeast;
            while (!OnlyTwoThreeFive(obvious)) obvious++;
            Assert.Equal(obvious, FourierTransform.NextFastLength(atLeast));
        }
    }

    [Theory]
    [InlineData(240_001, 240_000 + 3_000), InlineData(524_288, 524_288), InlineData(959_999, 960_000), InlineData(1 << 29, 1 << 29)]
    public void Long_lengths_are_found_too(int atLeast, int expected) =>   // 243 000 = 2^3 · 3^5 · 5^3, 960 000 = 2^9 · 3 · 5^4
        Assert.Equal(expected, FourierTransform.NextFastLength(atLeast));

    [Theory, InlineData(0), InlineData(-1), InlineData((1 << 29) + 1)]
    public void A_length_outside_the_interval_is_refused(int atLeast) =>
        Assert.Equal("atLeast", Assert.Throws<ArgumentOutOfRangeException>(() => FourierTransform.NextFastLength(atLeast)).ParamName);

    [Theory, InlineData(7, "6", "8"), InlineData(997, "972", "1000"), InlineData(65537, "65536", "65610")]
    public void A_prime_length_is_refused_and_the_nearest_fast_ones_are_named(int length, string below, string above)
    {
        Action[] attempts =
        [
            () => FourierTransform.OfReal([], length), () => FourierTransform.ToReal(new Complex[length / 2 + 1], length),
            () => FourierTransform.Forward(new Complex[length]), () => FourierTransform.Inverse(new Complex[length]),
        ];
        foreach (var attempt in attempts)
        {
            var message = Assert.Throws<ArgumentException>(attempt).Message;
            Assert.Contains($"transform of {length} ", message);
            Assert.Contains($" {below} and {above}.", message);
        }
    }

    [Fact]
    public void Length_zero_is_refused()
    {
        Assert.Equal("length", Assert.Throws<ArgumentOutOfRangeException>(() => FourierTransform.OfReal([], 0)).ParamName);
        Assert.Equal("values", Assert.Throws<ArgumentOutOfRangeException>(() => FourierTransform.Forward([])).ParamName);
        Assert.Equal("bins", Assert.Throws<ArgumentOutOfRangeException>(() => FourierTransform.Inverse([])).ParamName);
        Assert.Equal("samples", Assert.Throws<ArgumentOutOfRangeException>(() => FourierTransform.ToReal([], new double[0])).ParamName);
    }

    [Fact]
    public void Spans_that_do_not_fit_are_refused()
    {
        Assert.Equal("samples", Assert.Throws<ArgumentException>(() => FourierTransform.OfReal(new double[9], 8)).ParamName);
        foreach (var count in (int[])[4, 6])   // room for too few bins and for too many
            Assert.Equal("bins", Assert.Throws<ArgumentException>(() => FourierTransform.OfReal(new double[8], 8, new Complex[count])).ParamName);
        Assert.Equal("bins", Assert.Throws<ArgumentException>(() => FourierTransform.ToReal(new Complex[8], 8)).ParamName);
        Assert.Equal("bins", Assert.Throws<ArgumentException>(() => FourierTransform.Forward(new Complex[8], new Complex[7])).ParamName);
        Assert.Equal("values", Assert.Throws<ArgumentException>(() => FourierTransform.Inverse(new Complex[8], new Complex[9])).ParamName);
    }

    [Fact]
    public void Bins_over_their_own_samples_are_refused_and_samples_over_their_own_bins_come_out_right()
    {
        var memory = new Complex[17];
        Assert.Equal("bins", Assert.Throws<ArgumentException>(() =>
            FourierTransform.OfReal(MemoryMarshal.Cast<Complex, double>(memory.AsSpan())[..32], 32, memory)).ParamName);

        const double TwoTransforms = 3 * 2 * 5e-15;   // samples up to 3, there and back, each 1e-15 · log2 32
        double[] samples = [.. Enumerable.Range(0, 32).Select(n => n % 7 - 3.0)];
        foreach (var length in (int[])[32, 27])
        {
            var bins = FourierTransform.OfReal(samples.AsSpan(0, length), length);
            var over = MemoryMarshal.Cast<Complex, double>(bins.AsSpan())[..length];
            FourierTransform.ToReal(bins, over);
            for (var n = 0; n < length; n++) Assert.Equal(samples[n], over[n], TwoTransforms);
        }
    }

    [Fact]
    public void Complex_bins_over_their_own_numbers_are_refused_and_numbers_over_their_own_bins_come_out_right()
    {
        var memory = new Complex[40];
        Assert.Equal("bins", Assert.Throws<ArgumentException>(() => FourierTransform.Forward(memory.AsSpan(0, 20), memory.AsSpan(19, 20))).ParamName);
        foreach (var length in (int[])[32, 27])
        {
            var bins = SlowFourier.ComplexNoise(length);
            var expected = FourierTransform.Inverse(bins);
            FourierTransform.Inverse(bins, bins);
            Assert.Equal(expected, bins);
        }
    }

    [Fact]
    public void A_plan_guards_its_own_spans()
    {
        var plan = FourierPlan.Of(8);
        var memory = new Complex[24];
        void Refuse(Range input, Range output, Range scratch) => Assert.Throws<ArgumentException>(() => plan.Forward(memory.AsSpan(input), memory.AsSpan(output), memory.AsSpan(scratch)));
        plan.Forward(memory.AsSpan(..8), memory.AsSpan(8..16), memory.AsSpan(16..));
        Refuse(..7, 8..16, 16..);
        Refuse(..8, 8..15, 16..);
        Refuse(..8, 8..16, 17..);
        Refuse(..8, 7..15, 16..);
        Refuse(..8, 8..16, 7..15);
        Refuse(..8, 8..16, 15..23);
    }

    [Fact]
    public void Plans_are_shared_and_not_kept_for_ever()
    {
        var (first, firstReal) = (FourierPlan.Of(3), RealFourierPlan.Of(6));
        for (int length = 1, kept = 0; kept < 70; length++)   // six more than are kept
        {
            if (!OnlyTwoThreeFive(length)) continue;
            Assert.Equal(length, FourierPlan.Of(length).Length);
            Assert.Equal(2 * length, RealFourierPlan.Of(2 * length).Length);
            kept++;
        }
        Assert.NotSame(first, FourierPlan.Of(3));
        Assert.NotSame(firstReal, RealFourierPlan.Of(6));
    }

    private static bool OnlyTwoThreeFive(int length)
    {
        foreach (var prime in (int[])[2, 3, 5])
            while (length % prime == 0) length /= prime;
        return length == 1;
    }
}
