// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Transforms;
using Xunit;

namespace Sweepbook.Tests.Impulses;

public sealed class HumLinesTests
{
    private const int Rate = 8000;

    [Fact]
    public void Noise_alone_is_hardly_ever_taken_for_hum()
    {
        const int Blocks = 400;
        var found = Enumerable.Range(0, Blocks).Count(n => Lines(Signals.Noise(Rate / 2, 100 + (ulong)n)).Count > 0);
        Assert.InRange(found, 0, 4);   // one in a thousand is claimed; five of 400 would be a chance of 1 to 6000 against it
    }

    [Fact]
    public void Lines_are_found_with_their_power_and_taken_out_of_the_noise()
    {
        var block = Signals.Noise(Rate / 2, 7);
        for (var n = 0; n < block.Length; n++) block[n] += 2 * Math.Cos(2 * Math.PI * 50.1 * n / Rate) + Math.Sin(2 * Math.PI * 150.3 * n / Rate);
        var lines = Lines(block, out var left);
        Assert.Equal(50.1, lines[0].FrequencyHz, 0.15);                        // half a bin and a step of the search
        Assert.Equal(0, 10 * Math.Log10(lines[0].PowerRatio / 1.0), 1.0);      // A²/4 = 1; noise of one in 2000 Hann cells moves it by half a decibel
        Assert.Equal(0, 10 * Math.Log10(lines[1].PowerRatio / 0.25), 1.0);
        Assert.True(left[(int)Math.Round(50.1 * 8 * block.Length / Rate)] < 4);   // white noise of variance 1 has the density 1
    }

    [Fact]
    public void A_block_too_short_to_tell_gives_no_lines() =>
        Assert.Empty(Lines([.. Enumerable.Range(0, Rate / 10).Select(n => Math.Sin(2 * Math.PI * 50 * n / Rate))]));

    private static IReadOnlyList<HumLine> Lines(double[] block) => Lines(block, out _);

    private static IReadOnlyList<HumLine> Lines(double[] block, out double[] density)
    {
        var (taper, energy) = (Window.Hann(block.Length), 0.0);
        foreach (var weight in taper) energy += weight * weight;
        density = [.. FourierTransform.OfReal([.. block.Select((x, n) => x * taper[n])], 8 * block.Length).Select(bin => (bin.Real * bin.Real + bin.Imaginary * bin.Imaginary) / energy)];
        return HumLines.TakenOutOf(density, Rate / (8.0 * block.Length), block.Length, Rate);
    }
}
