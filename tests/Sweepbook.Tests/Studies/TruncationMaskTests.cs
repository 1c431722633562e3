// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class TruncationMaskTests
{
    [Theory]
    [InlineData(3.0, true)]
    [InlineData(2.2, true)]     // close to the limit of −20 dB from either side: the window's slope begins to cut a quarter earlier
    [InlineData(1.8, false)]
    [InlineData(0.6, false)]
    public void A_resonance_that_outlasts_the_window_is_doubted_at_its_frequency_and_nowhere_else(double t60Seconds, bool isDoubted)
    {
        using var folder = new SmallSurvey();   // a tail of 0.8 s: of 3 s for 60 dB it leaves −15 dB, of 0.6 s −78 dB
        folder.Add("a.wav", [(480, 0.3), .. Ringing(40, t60Seconds)], noise: 1e-6);
        var response = MaskScene.Only(folder);
        var reason = response.ReasonAt(40);
        Assert.Equal(isDoubted ? Doubt.Window : Doubt.None, reason.Doubt);
        if (isDoubted) Assert.Matches("^the decay is longer than the time window of 0\\.7[0-9]? s: more than 1 % of its energy is cut off$", reason.Sentence);
        Assert.Equal([Doubt.None], response.Doubts(12, 28));
        Assert.Equal([Doubt.None], response.Doubts(60, 16_000));
    }

    [Fact]
    public void Near_a_cone_the_rooms_decay_is_not_what_was_asked_for()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(480, 0.3), .. Ringing(40, 3)], noise: 1e-6, keys: "field = \"near\"");
        Assert.Equal([Doubt.None], MaskScene.Only(folder).Doubts(12, 16_000));
    }

    [Fact]
    public void Noise_that_grew_after_the_silent_block_is_not_taken_for_a_decay()
    {
        using var folder = new SmallSurvey();
        var clean = MaskScene.Played((x, _) => x, noise: 0.02);
        var (samples, hiss) = (clean.Channel(1), Signals.Noise(SmallSurvey.Design.Length, 77));
        for (var n = SmallSurvey.Rate / 2; n < samples.Length; n++) samples[n] += 0.04 * hiss[n];   // 7 dB more than in the lead-in
        folder.Add("a.wav", new Recording(SmallSurvey.Rate, [samples, clean.Channel(2)]));
        Assert.DoesNotContain(Doubt.Window, MaskScene.Only(folder).Doubts(12, 16_000));
    }

    private static IEnumerable<(int, double)> Ringing(double frequencyHz, double t60Seconds) =>
        Enumerable.Range(0, (int)(t60Seconds * SmallSurvey.Rate)).Select(n =>
            (480 + n, 0.0005 * Math.Sin(2 * Math.PI * frequencyHz * n / SmallSurvey.Rate) * Math.Pow(10, -3 * n / (t60Seconds * SmallSurvey.Rate))));
}
