// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Microphones;
using Sweepbook.Quantities;
using Xunit;

namespace Sweepbook.Tests.Microphones;

public sealed class CalibratorReadingTests
{
    private const int Rate = 48_000;
    private const double WantedDb = 0.01;      // of a tone 40 dB above noise, as the task wants it
    private const double LeakageDb = 1e-4;     // side lobes of a Hann window, 0.6 / d³ of a neighbour d bins away, and rounding

    /// <summary>Frequencies between the bins of the blocks (4 Hz apart), low and high: the window's leakage moves nothing.</summary>
    [Theory]
    [InlineData(1000)]
    [InlineData(1001.7)]
    [InlineData(250.9)]
    [InlineData(63.3)]
    [InlineData(8_001)]
    public void A_pure_tone_is_read_at_its_level_and_frequency_wherever_it_falls_between_the_bins(double hz)
    {
        var reading = CalibratorReading.Of(Tone(hz, 5, 0.02), Rate, 94, hz);
        Assert.Equal(Decibels.FromAmplitude(0.02), reading.LevelDbfs, LeakageDb);
        Assert.Equal(hz, reading.FrequencyHz, 1e-3);
        Assert.Equal(reading.LevelDbfs, reading.SensitivityDbfs);
        Assert.Equal("", reading.Caution);
        Assert.Equal(0, reading.FluctuationDb, LeakageDb);
    }

    /// <summary>Noise 40 dB and hum 45 dB below the tone, a third harmonic of 1 %: each is read for what it is, and the level is none of their business.</summary>
    [Fact]
    public void Noise_hum_and_harmonics_beside_the_tone_are_told_and_do_not_move_it()
    {
        const double Amplitude = 0.05;
        var tone = Tone(1000, 8, Amplitude);
        var hiss = Signals.Noise(tone.Length, 7);
        var (noise, hum) = (Amplitude / Math.Sqrt(2) / 100, Amplitude * Decibels.ToAmplitudeRatio(-45));
        for (var n = 0; n < tone.Length; n++)
            tone[n] += noise * hiss[n] + hum * Math.Sin(2 * Math.PI * 50 * n / Rate + 1) + 0.01 * Amplitude * Math.Sin(2 * Math.PI * 3000 * n / Rate) + 0.003;
        var reading = CalibratorReading.Of(tone, Rate, 114);
        Assert.Equal(Decibels.FromAmplitude(Amplitude), reading.LevelDbfs, WantedDb);
        Assert.Equal(reading.LevelDbfs - 20, reading.SensitivityDbfs, 1e-12);   // 114 dB is 20 dB more than 94
        Assert.Equal(40, reading.SnrDb, 0.3);                       // the scatter of eight seconds of noise, and the bins taken by tone and hum
        Assert.Equal((-45.0, 50.0), (Math.Round(reading.HumDb, 0), reading.HumHz));
        Assert.Equal(1, reading.HarmonicsPercent, 0.05);            // noise in the harmonics' bins
        Assert.InRange(Math.Abs(reading.FrequencyHz - 1000), 0, reading.FrequencyUncertaintyHz * 1.5);
    }

    [Fact]
    public void Handling_before_and_after_the_tone_is_left_out_and_the_stretch_is_named()
    {
        var tone = Tone(1000, 12, 0.05);
        var hiss = Signals.Noise(tone.Length, 3);
        for (var n = 0; n < 3 * Rate; n++) tone[n] = 0.1 * hiss[n];
        for (var n = 3 * Rate; n < 4 * Rate; n++) tone[n] *= 0.8;       // not yet seated
        for (var n = 10 * Rate; n < tone.Length; n++) tone[n] = 0.3 * hiss[n];
        var reading = CalibratorReading.Of(tone, Rate, 94);
        Assert.Equal(Decibels.FromAmplitude(0.05), reading.LevelDbfs, LeakageDb);
        Assert.InRange(reading.FromSeconds, 4, 4.5);
        Assert.InRange(reading.ToSeconds, 9.5, 10);
    }

    [Fact]
    public void Hum_close_below_the_tone_is_a_caution_and_the_level_stands()
    {
        var tone = Tone(1000, 5, 0.01);
        for (var n = 0; n < tone.Length; n++) tone[n] += 0.006 * Math.Sin(2 * Math.PI * 60 * n / Rate) + 0.001 * Math.Sin(2 * Math.PI * 180 * n / Rate);
        var reading = CalibratorReading.Of(tone, Rate, 94);
        Assert.Equal(-40, reading.LevelDbfs, WantedDb);
        Assert.Contains("Mains hum of 60 Hz is only 4 dB below the tone", reading.Caution, StringComparison.Ordinal);
        for (var n = 0; n < tone.Length; n++) tone[n] += 0.02 * Math.Sin(2 * Math.PI * 60 * n / Rate);
        Assert.Contains("Mains hum of 60 Hz is as loud as the tone or louder", CalibratorReading.Of(tone, Rate, 94).Caution, StringComparison.Ordinal);
    }

    [Fact]
    public void Noise_close_below_the_tone_is_a_caution()
    {
        var (tone, hiss) = (Tone(1000, 10, 0.01), Signals.Noise(10 * Rate, 5));
        for (var n = 0; n < tone.Length; n++) tone[n] += 0.001 * hiss[n];   // 17 dB
        var reading = CalibratorReading.Of(tone, Rate, 94);
        Assert.Equal(-40, reading.LevelDbfs, WantedDb);
        Assert.Contains("Noise is only 17 dB below the tone", reading.Caution, StringComparison.Ordinal);
    }

    [Fact]
    public void Two_calibrators_mixed_up_are_told_by_what_was_found()
    {
        var fault = Assert.Throws<DataFault>(() => CalibratorReading.Of(Tone(250, 5, 0.05), Rate, 114, 1000, "takes/cal.wav"));
        Assert.Equal("takes/cal.wav", fault.File);
        Assert.Contains("the tone is 250.0 Hz, not 1000 Hz", fault.Message, StringComparison.Ordinal);
        Assert.Contains("write that as frequency_hz", fault.Message, StringComparison.Ordinal);
        Assert.Contains("the tone is 975.0 Hz", Assert.Throws<DataFault>(() => CalibratorReading.Of(Tone(975, 5, 0.05), Rate, 114)).Message, StringComparison.Ordinal);
        Assert.Equal(985, CalibratorReading.Of(Tone(985, 5, 0.05), Rate, 114).FrequencyHz, 1e-3);   // within class 2
    }

    [Theory]
    [InlineData("music", "holds no calibrator's tone", "Name the right recording")]
    [InlineData("noise", "holds no calibrator's tone", "switch it on")]
    [InlineData("wobble", "the tone is not steady", "Seat the calibrator firmly")]
    [InlineData("sinking", "the tone is not steady", "weak battery")]
    [InlineData("scant", "the tone is too short: it sounds for 2.1 s", "Record ten seconds")]
    [InlineData("bumped", "the tone is interrupted: it sounds for 7.", "Keep hands and cable still")]
    [InlineData("clipped", "the tone is clipped", "Turn the input's gain down")]
    [InlineData("flattened", "the tone is distorted", "before the converter")]
    [InlineData("silent", "is silent", "microphone_channel")]
    [InlineData("empty", "is silent", "microphone_channel")]
    [InlineData("short", "is 1.5 s long", "Record ten seconds")]
    [InlineData("brief", "holds 1.", "Record ten seconds")]
    [InlineData("hum", "mains hum of 50 Hz", "Check cable")]
    public void What_is_no_steady_tone_is_refused_with_what_to_do(string kind, string problem, string remedy)
    {
        var fault = Assert.Throws<DataFault>(() => CalibratorReading.Of(Spoilt(kind), Rate, 94, 1000, "cal.wav"));
        Assert.Contains(problem, fault.Problem, StringComparison.Ordinal);
        Assert.Contains(remedy, fault.Remedy, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(3_999, 94, 1000)]
    [InlineData(Rate, double.NaN, 1000)]
    [InlineData(Rate, 94, 20)]
    [InlineData(Rate, 94, 20_000)]
    public void Wrong_arguments_are_refused(int rate, double levelDb, double hz) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => CalibratorReading.Of(new double[5], rate, levelDb, hz));

    [Fact]
    public void A_sample_that_is_no_number_is_refused() => Assert.Throws<ArgumentException>("samples", () => CalibratorReading.Of([0, double.NaN], Rate, 94));

    internal static double[] Tone(double hz, double seconds, double amplitude) =>
        [.. Enumerable.Range(0, (int)(seconds * Rate)).Select(n => amplitude * Math.Sin(2 * Math.PI * hz * n / Rate + 0.3))];

    internal static double[] Spoilt(string kind)
    {
        var tone = Tone(1000, kind switch { "short" => 1.5, "scant" => 2.2, _ => 8 }, 0.05);
        var hiss = Signals.Noise(tone.Length, 11);
        for (var n = 0; n < tone.Length; n++)
        {
            var seconds = (double)n / Rate;
            tone[n] = kind switch
            {
                "music" => Music(seconds),
                "noise" => 0.05 * hiss[n],
                "wobble" => tone[n] * (1 + 0.05 * Math.Sin(2 * Math.PI * 1.3 * seconds)),
                "sinking" => tone[n] * Math.Exp(-0.03 * seconds),   // 2 dB in 8 s
                "bumped" => tone[n] + (seconds % 2 < 0.05 ? 0.5 * Math.Sin(2 * Math.PI * 35 * seconds) : 0),
                "clipped" => Math.Clamp(25 * tone[n], -1, 1),
                "flattened" => Math.Clamp(tone[n], -0.035, 0.035),
                "silent" => 1e-7 * hiss[n],
                "empty" => 0,
                "brief" => seconds is > 2 and < 3.6 ? tone[n] : 1e-5 * hiss[n],
                "hum" => 0.05 * Math.Sin(2 * Math.PI * 50 * seconds) + 1e-5 * hiss[n],
                _ => tone[n],
            };
        }
        return tone;
    }

    /// <summary>A tune: a new chord every 0.3 s, its notes with four harmonics, one of them near 1 kHz now and then.</summary>
    internal static double Music(double seconds)
    {
        var step = (int)(seconds / 0.3);
        var sum = 0.0;
        foreach (var semitones in new[] { step * 7 % 12, (step * 7 % 12) + 4, (step * 5 % 12) + 7 })
            for (var harmonic = 1; harmonic <= 4; harmonic++)
                sum += 0.03 / harmonic * Math.Sin(2 * Math.PI * 262 * Math.Pow(2, semitones / 12.0) * harmonic * seconds);
        return sum * Math.Exp(-3 * (seconds - 0.3 * step));
    }
}
