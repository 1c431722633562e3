// SPDX-License-Identifier: MIT
using Sweepbook.Studies;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class SlowPeakFindingsTests
{
    // sweep, 24-bit file, deconvolution and window together
    private const double DecayRatio = 0.03;

    [Fact]
    public void The_slowest_resonance_of_a_source_is_told_at_the_seat_where_it_is_slowest_and_all_are_in_the_table()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Resonance((43, 0.5)), keys: "");
        folder.Add("b.wav", Resonance((43, 0.5), (61, 0.6)), seat: "chair", seed: 2);
        var study = Study.Of(folder.Read());
        var finding = Assert.Single(study.Findings, finding => finding.Id == "slow-peak");
        Assert.Equal((Severity.Note, "main at chair", "s"), (finding.Severity, finding.Subject, finding.Unit));
        Assert.Equal(1, finding.Value / 0.6, DecayRatio);
        Assert.Matches(@"^main at chair: 61\.\d Hz takes 0\.(59|60|61) s \(± 0\.0\d s\) to fall by 60 dB, the slowest of its bass.*It stands out at this one of 2 seats\.$", finding.Sentence);
        Assert.True(study.Findings.ToList().IndexOf(finding) >= Study.Headlines);

        var output = Path.Combine(folder.Folder, "..", Path.GetRandomFileName());
        try
        {
            Assert.Contains("slow-peaks.csv", study.WriteTables(output));
            var lines = File.ReadAllLines(Path.Combine(output, "slow-peaks.csv"));
            Assert.Equal("source,setting,seat,microphone,frequency_hz,level_db,decay_s,decay_sd_s,range_db,around_s,reason", lines[0]);
            Assert.Equal(study.Responses.Sum(result => result.SlowPeaks.Count), lines.Length - 1);
            Assert.Contains(lines, line => line.StartsWith("main,as-found,sofa,omni,4", StringComparison.Ordinal));
            Assert.Contains(lines, line => line.StartsWith("main,as-found,chair,omni,6", StringComparison.Ordinal));
        }
        finally
        {
            Directory.Delete(output, recursive: true);
        }
    }

    [Fact]
    public void Peaks_above_200_Hz_are_in_the_map_and_not_in_the_list()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Resonance((61, 0.6), (190, 0.5), (300, 0.5)), keys: "");
        var response = Study.Of(folder.Read()).Responses[0];
        Assert.Contains(response.BassDecay()!.SlowPeaks(), peak => Math.Abs(peak.FrequencyHz - 300) < 2);
        Assert.DoesNotContain(response.SlowPeaks, peak => peak.FrequencyHz > 200);
        Assert.Contains(response.SlowPeaks, peak => Math.Abs(peak.FrequencyHz - 190) < 2);
    }

    [Fact]
    public void A_response_without_a_resonance_has_no_such_finding()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(480, 0.5)]);
        var study = Study.Of(folder.Read());
        Assert.NotNull(study.Responses[0].BassDecay());
        Assert.DoesNotContain(study.Responses[0].SlowPeaks, peak => peak.Doubt == Reason.None);
        Assert.DoesNotContain(study.Findings, finding => finding.Id == "slow-peak");
    }

    /// <summary>Damped resonances from sample 480 on, small enough for a full sweep.</summary>
    private static (int, double)[] Resonance(params (double FrequencyHz, double DecaySeconds)[] resonances) =>
        [.. Enumerable.Range(0, 30_000).Select(n => (480 + n, resonances.Sum(resonance =>
            2e-4 * Math.Exp(-Math.Log(1000) / resonance.DecaySeconds * n / SmallSurvey.Rate) * Math.Cos(2 * Math.PI * resonance.FrequencyHz * n / SmallSurvey.Rate))))];
}
