// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class HumMaskTests
{
    [Theory]
    [InlineData(50, 0.01)]
    [InlineData(60, -0.02)]
    public void Mains_hum_masks_its_own_neighbourhood_and_no_more(double mainsHz, double offsetHz)
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", WithHum(mainsHz + offsetHz, 0.02));
        var response = MaskScene.Only(folder);
        var reason = response.ReasonAt(mainsHz);
        Assert.Equal(Doubt.Hum, reason.Doubt);
        Assert.Equal(FormattableString.Invariant($"mains hum at {mainsHz} Hz may come within 15 dB of the signal"), reason.Sentence);
        Assert.Equal(Doubt.Hum, response.ReasonAt(3 * mainsHz).Doubt);
        foreach (var (fromHz, toHz) in new[] { (12, mainsHz - 5), (mainsHz + 5, 3 * mainsHz - 5), (3 * mainsHz + 5, 15_000) })
            Assert.Equal([Doubt.None], response.Doubts(fromHz, toHz));
    }

    [Fact]
    public void Weak_hum_that_the_mean_over_a_third_of_an_octave_would_hide_is_in_the_signal_to_noise_ratio()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", WithHum(50, 1e-4));
        folder.Add("b.wav", WithHum(50, 0), seat: "chair");
        var study = Sweepbook.Studies.Study.Of(folder.Read());
        var (hum, clean) = (study.Responses[0].Response, study.Responses[1].Response);
        var at = Enumerable.Range(0, hum.Count).MinBy(k => Math.Abs(hum[k].FrequencyHz - 50));
        Assert.True(clean[at].SnrDb - hum[at].SnrDb > 20);
        Assert.True(hum[at].TrustedLevel);
        var beside = Enumerable.Range(0, hum.Count).MinBy(k => Math.Abs(hum[k].FrequencyHz - 80));
        Assert.Equal(clean[beside].SnrDb, hum[beside].SnrDb, 1.5);   // 30 Hz beside the line the window's side lobes are 60 dB down
    }

    [Fact]
    public void A_finding_names_the_gaps_that_hum_leaves_and_their_cause()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", WithHum(50, 0.02));
        var findings = Sweepbook.Studies.Study.Of(folder.Read()).Findings;
        Assert.EndsWith("inside these limits every seat can be trusted, but for the gaps named below.", findings[0].Sentence, StringComparison.Ordinal);
        var gaps = Assert.Single(findings, finding => finding.Id == "gaps");
        Assert.Equal(2, gaps.Value);
        Assert.Matches(@"^Inside the band of main at sofa do not believe 4\d\.\d to 5\d\.\d Hz and 14\d to 15\d Hz, because of mains hum\.$", gaps.Sentence);
    }

    [Fact]
    public void Strong_hum_passes_neither_for_distortion_nor_for_a_decay()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", WithHum(50, 0.05), source: "sub");
        Assert.Equal([Doubt.None, Doubt.Hum], MaskScene.Only(folder).Doubts(12, 16_000));
    }

    private static Recording WithHum(double mainsHz, double amplitude)
    {
        var clean = MaskScene.Played((x, _) => x);
        var samples = clean.Channel(1);
        for (var n = 0; n < samples.Length; n++)
            samples[n] += amplitude * (Math.Sin(2 * Math.PI * mainsHz * n / SmallSurvey.Rate + 1) + Math.Sin(2 * Math.PI * 3 * mainsHz * n / SmallSurvey.Rate));
        return new(SmallSurvey.Rate, [samples, clean.Channel(2)]);
    }
}
