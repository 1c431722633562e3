// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Studies;
using Sweepbook.Transforms;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>Faults on their way from the file to the reason, the tables and the findings.</summary>
public sealed class FaultySurveyTests
{
    private const int Late = 300;   // samples between loopback and sound

    [Fact]
    public void Lost_samples_refuse_the_take_and_are_counted()
    {
        var (microphone, reference) = Channels();
        const int At = 90_000, Lost = 256;
        var result = Study([.. microphone[..At], .. microphone[(At + Lost)..], .. new double[Lost]], [.. reference[..At], .. reference[(At + Lost)..], .. new double[Lost]]);
        Assert.Contains("the recorder lost or repeated samples 1.9 s into the recording. Use larger buffers", result.WhyNot, StringComparison.Ordinal);
        Assert.Equal(1, result.Dropouts);
    }

    [Fact]
    public void Two_interruptions_are_counted_as_two()
    {
        var (microphone, reference) = Channels();
        foreach (var channel in new[] { microphone, reference })
        {
            channel.AsSpan(80_000, 512).Clear();
            channel.AsSpan(120_000 - 480, 480).CopyTo(channel.AsSpan(120_000));
        }
        var result = Study(microphone, reference);
        Assert.Contains("lost or repeated samples in 2 places, the first 1.7 s into the recording", result.WhyNot, StringComparison.Ordinal);
        Assert.Equal(2, result.Dropouts);
    }

    [Fact]
    public void A_good_take_has_no_interruption_and_no_fault()
    {
        var (microphone, reference) = Channels();
        var result = Study(microphone, reference);
        Assert.Equal((null, 0), (result.WhyNot, result.Dropouts));
        Assert.Empty(result.Faults);
    }

    [Fact]
    public void A_relabelled_rate_is_called_by_its_name()
    {
        var (microphone, reference) = Channels();
        Assert.Contains("runs 8.8 % too fast, as where a recorder at 44.1 kHz labels its file 48 kHz", Study(Relabelled(microphone), Relabelled(reference)).WhyNot, StringComparison.Ordinal);

        static double[] Relabelled(double[] channel)
        {
            var other = Resampling.ToRate(channel, 48_000, 44_100);
            Array.Resize(ref other, channel.Length);
            return other;
        }
    }

    [Fact]
    public void A_copied_channel_is_no_loopback()
    {
        var (microphone, _) = Channels();
        Assert.Contains("microphone and loopback channel are identical", Study(microphone, microphone).WhyNot, StringComparison.Ordinal);
    }

    [Fact]
    public void Two_microphones_that_are_one_are_named_on_both_takes()
    {
        using var folder = new SmallSurvey(top: "[[microphone]]\nid = \"other\"\n");
        var (microphone, _) = Channels();
        folder.Add("pair.wav", new Recording(SmallSurvey.Rate, [microphone, microphone]), "time_zero = \"unknown\"");
        folder.AddEntry("pair.wav", "microphone = \"other\"\nmicrophone_channel = 2\ntime_zero = \"unknown\"");
        var study = Sweepbook.Studies.Study.Of(folder.Read());
        Assert.All(study.Takes, take => Assert.Contains(take.Faults, fault => fault.Contains("are identical, though the survey says that they are two microphones", StringComparison.Ordinal)));
    }

    [Fact]
    public void A_fault_is_a_finding_with_its_own_number_and_the_table_has_a_column_for_dropouts()
    {
        var (microphone, reference) = Channels();
        for (var n = 0; n < microphone.Length; n++) microphone[n] += 0.02 * Math.Sin(2 * Math.PI * 50 * n / SmallSurvey.Rate);
        using var folder = new SmallSurvey();
        folder.Add("a.wav", new Recording(SmallSurvey.Rate, [microphone, reference]));
        var study = Sweepbook.Studies.Study.Of(folder.Read());
        var finding = Assert.Single(study.Findings, finding => finding.Id == "take-fault");
        Assert.Equal((Severity.Fault, "takes/a.wav", "dBFS"), (finding.Severity, finding.Subject, finding.Unit));
        Assert.Equal(20 * Math.Log10(0.02 / Math.Sqrt(2)), finding.Value, 0.3);
        Assert.Contains("mains hum at 50 Hz", finding.Sentence, StringComparison.Ordinal);
        using var output = new Sweepbook.Tests.Files.TemporaryFolder();
        study.WriteTables(output["out"]);
        var lines = File.ReadAllLines(Path.Combine(output["out"], "takes.csv"));
        Assert.Equal("0", lines[1].Split(',')[Array.IndexOf(lines[0].Split(','), "dropouts")]);
    }

    private static TakeResult Study(double[] microphone, double[] reference)
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", new Recording(SmallSurvey.Rate, [microphone, reference]));
        return Sweepbook.Studies.Study.Of(folder.Read()).Takes[0];
    }

    private static (double[] Microphone, double[] Reference) Channels()
    {
        var (sweep, hiss) = (SmallSurvey.Design, Signals.Noise(SmallSurvey.Design.Length, 6));
        var microphone = Signals.Convolved(sweep.ToArray(), [.. new double[Late], 0.3, .. new double[900], 0.1, .. new double[1500], -0.05], sweep.Length);
        return ([.. microphone.Select((x, n) => x + 1e-4 * hiss[n])], [.. sweep.ToArray().Select(x => 0.5 * x)]);
    }
}
