// SPDX-License-Identifier: MIT
using Sweepbook.Microphones;
using Sweepbook.Quantities;
using Xunit;

namespace Sweepbook.Tests.Microphones;

public sealed class MicrophoneLevelTests
{
    /// <summary>Fact sheet 11.3, to the digits printed there.</summary>
    [Fact]
    public void Levels_are_pressures()
    {
        Assert.Equal(1.002374, MicrophoneLevel.PressureInPascals(94), 1e-6);
        Assert.Equal(10.02374, MicrophoneLevel.PressureInPascals(114), 1e-5);
        Assert.Equal(1, MicrophoneLevel.PressureInPascals(93.9794), 1e-6);
        Assert.Equal(0, MicrophoneLevel.PressureInPascals(double.NegativeInfinity));
    }

    /// <summary>Fact sheet 11.2: reference −26.0 dB, a reading higher by 0.37 dB of the same calibrator gives −25.63 dB.</summary>
    [Fact]
    public void Two_microphones_at_one_source_differ_by_their_readings()
    {
        double[] tone = CalibratorReadingTests.Tone(1000, 4, Decibels.ToAmplitudeRatio(-26));
        var reference = CalibratorReading.Of(tone, 48_000, 94);
        var tested = CalibratorReading.Of([.. tone.Select(sample => sample * Decibels.ToAmplitudeRatio(0.37))], 48_000, 94);
        const double PrintedDb = 0.005;
        Assert.Equal(-26.0, reference.SensitivityDbfs, PrintedDb);
        Assert.Equal(-25.63, tested.SensitivityDbfs, PrintedDb);
    }

    /// <summary>Fact sheet 11.8: 26 dB(A) are 68 dB re 94 dB.</summary>
    [Fact]
    public void What_is_said_follows_from_sensitivity_and_noise()
    {
        var level = new MicrophoneLevel { SensitivityDbfs = -30, StatedMaximumDb = 130, EquivalentNoiseDba = 26 };
        Assert.Equal(68, level.SignalToNoiseDb);
        Assert.Equal(124, level.FullScaleDb);
        Assert.Equal(-6, level.InputAboveMaximumDb);
        Assert.Equal(84, level.SoundPressureLevelDb(-40));
        Assert.True(level.IsKnown);
        Assert.False(new MicrophoneLevel().IsKnown);
        Assert.True(double.IsNaN(new MicrophoneLevel().SoundPressureLevelDb(-40)));
    }

    /// <summary>White noise of a known root mean square has its share of the band in every third octave; a tone of full scale is 0 dB.</summary>
    [Fact]
    public void The_noise_of_a_block_is_what_was_put_into_it()
    {
        const int Rate = 48_000;
        const double Rms = 1e-4, ScatterDb = 0.5;   // a third octave of 500 Hz over 20 s: 2300 degrees of freedom, 0.13 dB, three times and a bit
        double[] hiss = [.. Signals.Noise(20 * Rate, 3).Select(value => Rms * value)];
        var noise = BlockNoise.Of(hiss, Rate, _ => 0)!;
        foreach (var band in FrequencyBand.ThirdOctaves(500, 10_000))
            Assert.Equal(Decibels.FromPower(2 * Rms * Rms * (band.UpperHz - band.LowerHz) / (Rate / 2.0)), Decibels.FromPower(noise.Bands[band]), ScatterDb);
        var raised = BlockNoise.Of(hiss, Rate, _ => 3)!;
        Assert.Equal(3, Decibels.FromPower(raised.WeightedPower / noise.WeightedPower), 1e-9);
        var tone = BlockNoise.Of(CalibratorReadingTests.Tone(1000, 2, 1), Rate, _ => 0)!;
        const double LeakageDb = 1e-3;
        Assert.Equal(0, Decibels.FromPower(tone.WeightedPower), LeakageDb);   // A is 0 dB at 1 kHz
        Assert.Equal(0, Decibels.FromPower(tone.Bands[FrequencyBand.ThirdOctaveAt(1000)]), LeakageDb);
        var bass = BlockNoise.Of(CalibratorReadingTests.Tone(63.0957, 2, 1), Rate, _ => 0)!;
        Assert.Equal(-26.194, Decibels.FromPower(bass.WeightedPower), 0.02);  // fact sheet 2.3; the window's lobe on a slope of 6 dB an octave
    }

    [Fact]
    public void Bands_that_the_block_cannot_resolve_are_left_out_and_zeros_are_no_noise()
    {
        var noise = BlockNoise.Of(Signals.Noise(24_000, 3), 48_000, _ => 0)!;
        Assert.Equal(31.5, noise.Bands.Keys.Min(band => band.NominalHz));   // 0.5 s: 6 Hz wide or more, and 25 Hz is 5.8
        Assert.Null(BlockNoise.Of(new double[1000], 48_000, _ => 0));
        Assert.Null(BlockNoise.Of([1], 48_000, _ => 0));
    }
}
