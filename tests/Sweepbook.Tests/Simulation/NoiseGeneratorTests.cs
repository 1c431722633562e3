// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Simulation;
using Xunit;

namespace Sweepbook.Tests.Simulation;

public sealed class NoiseGeneratorTests
{
    private const int Rate = 48000;
    private const int Length = 10 * Rate;
    private const double SlowNoiseDb = 0.5;    // 10 s of noise with most power in the lowest octaves scatter by 0.15 dB
    private const double WhiteDb = 0.03;       // 480 000 samples: 0.009 dB

    [Fact]
    public void Room_noise_has_its_planned_level()
    {
        var noise = NoiseGenerator.ForMicrophone(new(-50, -300, 50, []), 4, Length, Rate, new RandomNumbers(3));
        Assert.InRange(LevelDb(noise) + 46, -SlowNoiseDb, SlowNoiseDb);
    }

    [Fact]
    public void Self_noise_is_white_and_has_its_planned_level()
    {
        var noise = NoiseGenerator.ForMicrophone(new(-300, -70, 50, []), 0, Length, Rate, new RandomNumbers(4));
        Assert.InRange(LevelDb(noise) + 70, -WhiteDb, WhiteDb);
        var above12kHz = RecursiveFilter.HighPass(12000, 4, Rate).Apply(noise);
        Assert.InRange(LevelDb(above12kHz) + 73.01, -0.1, 0.1);   // half the band, and the corner of the filter at exactly half
    }

    [Fact]   // closed form: a line of root mean square a has |Σ x e^(−jωn)| · √2 / N = a
    public void Hum_lines_have_their_planned_levels()
    {
        const double LeakageDb = 0.01;
        var noise = NoiseGenerator.ForMicrophone(new(-300, -300, 50, [-60, -72, -66]), 0, Rate, Rate, new RandomNumbers(5));
        foreach (var (hz, dbfs) in new[] { (50.0, -60.0), (100.0, -72.0), (150.0, -66.0) })
            Assert.InRange(Decibels.FromAmplitude(DirectConvolution.ResponseAt(noise, 0, Rate, hz).Magnitude * Math.Sqrt(2) / Rate) - dbfs, -LeakageDb, LeakageDb);
    }

    private static double LevelDb(double[] samples) => Decibels.FromPower(samples.Sum(value => value * value) / samples.Length);
}
