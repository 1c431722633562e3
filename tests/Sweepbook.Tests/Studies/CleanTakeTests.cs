// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Studies;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class CleanTakeTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void A_clean_pair_of_repeats_and_another_drive_are_believed_everywhere_for_every_use(ulong seed)
    {
        using var folder = new SmallSurvey("lowest_hz = 5\nhighest_hz = 22000\nmax_spl_db = 130\nsensitivity_dbfs_at_94db = -40");
        var room = Decaying(0.3);
        folder.Add("a.wav", room, noise: 1e-5, seed: seed, keys: "drive_db = -6.0");
        folder.Add("b.wav", room, noise: 1e-5, seed: seed + 10, keys: "drive_db = -6.0");
        folder.Add("c.wav", [.. room.Select(entry => (entry.Item1, entry.Item2 / 4))], noise: 1e-5, seed: seed + 20, keys: "drive_db = -18.0");
        var study = Study.Of(folder.Read());
        Assert.Equal(2, study.Responses.Count);
        foreach (var result in study.Responses)
            Assert.All([false, true], isPhase => Assert.Equal([Doubt.None], result.Response.Doubts(12, 16_000, isPhase)));
        Assert.All(study.Takes, take => Assert.InRange(take.TimeZeroUncertaintySeconds, 0, 1e-9));   // a loopback without noise of its own but rounding
    }

    /// <summary>A direct sound and a dense decay of so many seconds for 60 dB, 15 dB weaker in energy.</summary>
    internal static (int Sample, double Value)[] Decaying(double t60Seconds)
    {
        var noise = Signals.Noise((int)(1.2 * t60Seconds * SmallSurvey.Rate), 4242);
        var amplitude = 0.4 * Decibels.ToAmplitudeRatio(-15) / Math.Sqrt(t60Seconds * SmallSurvey.Rate / 13.8);   // ∫ e^(−13.8 t/T) = T / 13.8
        return [(480, 0.4), .. noise.Select((value, n) => (500 + n, amplitude * value * Math.Pow(10, -3.0 * n / SmallSurvey.Rate / t60Seconds)))];
    }
}
