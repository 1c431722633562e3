// SPDX-License-Identifier: MIT
using Sweepbook.Studies;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class HumTests
{
    private const int Rate = 48_000;
    private const double LevelToleranceDb = 0.3;   // the mains frequency is found within 0.02 %: a tenth of a resolution cell at 180 Hz costs 0.1 dB; noise adds the rest
    private const double FrequencyToleranceHz = 0.6;

    [Theory]
    [InlineData(50, 0.5)]
    [InlineData(49.9, 1.0)]
    [InlineData(60.05, 0.5)]
    public void Lines_are_found_where_they_are_and_as_loud_as_they_are(double mainsHz, double seconds)
    {
        var lines = Hum.LinesHz(Block(seconds, mainsHz, (1, -70), (2, -90), (3, -76)), Rate);
        Assert.Equal(3, lines.Count);
        foreach (var (line, harmonic, levelDbfs) in lines.Zip([1, 2, 3], [-70.0, -90, -76]))
        {
            Assert.Equal(mainsHz * harmonic, line.FrequencyHz, FrequencyToleranceHz);
            Assert.Equal(levelDbfs, 20 * Math.Log10(Hum.RootMeanSquare([line])), LevelToleranceDb);
        }
    }

    [Fact]
    public void Noise_alone_has_no_line()
    {
        const int MostLines = 5;   // 200 blocks: one in a thousand by chance, each with a few companions
        var found = Enumerable.Range(1, 200).Sum(seed => Hum.LinesHz([.. Signals.Noise(Rate / 2, (ulong)seed).Select(x => 1e-4 * x)], Rate).Count);
        Assert.InRange(found, 0, MostLines);
    }

    [Fact]
    public void A_block_too_short_to_tell_gives_nothing() => Assert.Empty(Hum.LinesHz(Block(0.15, 50, (1, -60)), Rate));

    [Fact]
    public void Silence_of_zeros_gives_nothing() => Assert.Empty(Hum.LinesHz(new double[Rate], Rate));

    private static double[] Block(double seconds, double mainsHz, params (int Harmonic, double LevelDbfs)[] lines)
    {
        var block = Signals.Noise((int)(seconds * Rate), 5);
        for (var n = 0; n < block.Length; n++)
        {
            block[n] *= 1e-5;
            foreach (var (harmonic, level) in lines) block[n] += Math.Sqrt(2) * Math.Pow(10, level / 20) * Math.Sin(2 * Math.PI * mainsHz * harmonic * n / Rate + harmonic);
        }
        return block;
    }
}
