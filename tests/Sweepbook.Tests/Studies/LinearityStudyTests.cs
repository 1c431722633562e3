// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Studies;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class LinearityStudyTests
{
    private const double WithinDb = 0.1;   // found 0.06: the step at 60 Hz is sharp and rings over the time window

    // 0.75 is −2.5 dB below 60 Hz; the drives differ by 12 dB outside the loopback (0.25 is −12.04 dB)
    [Fact]
    public void Compression_of_the_bass_is_given_over_frequency_and_told()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", MaskScene.Played((x, _) => 0.25 * x), "drive_db = -18.0");
        folder.Add("b.wav", MaskScene.Played((x, frequencyHz) => x * (frequencyHz < 60 ? 0.75 : 1), seed: 2), "drive_db = -6.0");
        var study = Study.Of(folder.Read());
        var result = Assert.Single(study.Linearity);
        Assert.Equal((-18.0, -6.0, false), (result.Softer.DriveDb!.Value, result.Louder.DriveDb!.Value, result.IsDriveInLoopback));
        var offset = 12 - Decibels.FromAmplitude(4);
        foreach (var point in result.Points.Where(point => point.FrequencyHz is > 15 and < 45))
        {
            Assert.Equal(Decibels.FromAmplitude(4 * 0.75), point.ChangeDb, WithinDb);
            Assert.Equal(-Decibels.FromAmplitude(0.75) + offset, point.CompressionDb, WithinDb);
            Assert.Equal(-Decibels.FromAmplitude(0.75), point.ShapeDb, WithinDb);
        }
        foreach (var point in result.Points.Where(point => point.FrequencyHz is > 90 and < 15_000)) Assert.Equal(0, point.ShapeDb, WithinDb);
        var finding = Assert.Single(study.Findings, finding => finding.Id == "linearity");
        Assert.StartsWith("Between drives of −18 and −6 dB main at sofa compresses by 2.", finding.Sentence);
        Assert.InRange(finding.Value, -Decibels.FromAmplitude(0.75) - WithinDb, -Decibels.FromAmplitude(0.75) + 2 * WithinDb);   // the highest of many, next to the step
        Assert.Equal(Severity.Caution, finding.Severity);
    }

    [Fact]
    public void A_drive_that_the_loopback_carries_leaves_the_response_as_it_is()
    {
        using var folder = new SmallSurvey();
        folder.Add("soft.wav", Both(0.1, 1), "drive_db = -20.0");
        folder.Add("loud.wav", Both(0.4, 0.97), "drive_db = -8.0");   // a quarter of a decibel less than linear
        var study = Study.Of(folder.Read());
        var result = Assert.Single(study.Linearity);
        Assert.True(result.IsDriveInLoopback);
        Assert.Equal(-Decibels.FromAmplitude(0.97), result.MedianCompressionDb, WithinDb);
        Assert.All(result.Points.Where(point => point.FrequencyHz is > 15 and < 15_000), point => Assert.Equal(0, point.ShapeDb, WithinDb));
        Assert.StartsWith("Between drives of −20 and −8 dB the response of main at sofa keeps its shape within 0.0 dB from ", Assert.Single(study.Findings, finding => finding.Id == "linearity").Sentence);

        static Sweepbook.Files.Recording Both(double drive, double gain)
        {
            var played = MaskScene.Played((x, _) => drive * gain * x);
            return new(SmallSurvey.Rate, [played.Channel(1), [.. played.Channel(2).Select(x => drive * x)]]);
        }
    }

    [Fact]
    public void A_gain_that_the_drives_do_not_explain_is_named_as_a_whole()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", MaskScene.Played((x, _) => 0.25 * x), "drive_db = -20.0");
        folder.Add("b.wav", MaskScene.Played((x, _) => 0.8 * x, seed: 2), "drive_db = -8.0");
        Assert.Contains("As a whole it gives 1.9 dB less than the drives ask for", Assert.Single(Study.Of(folder.Read()).Findings, finding => finding.Id == "linearity").Sentence);   // 20 lg 4 − 20 lg 3.2, 12 asked: 1.9
    }

    [Fact]
    public void One_drive_alone_gives_nothing_and_two_give_a_table()
    {
        using var one = new SmallSurvey();
        one.Add("a.wav", MaskScene.Played((x, _) => x), "drive_db = -6.0");
        var study = Study.Of(one.Read());
        Assert.Empty(study.Linearity);
        Assert.Null(LinearityStudy.Table(study));
        using var two = new SmallSurvey();
        two.Add("a.wav", MaskScene.Played((x, _) => x), "drive_db = -6.0");
        two.Add("b.wav", MaskScene.Played((x, _) => 0.5 * x), "drive_db = -12.0");
        var target = Directory.CreateTempSubdirectory("sweepbook-test-").FullName;
        try
        {
            Study.Of(two.Read()).WriteTables(target);
            Assert.StartsWith("source,setting,seat,microphone,stimulus,field,distance_mm,angle_deg,input_gain_db,softer_drive_db,louder_drive_db,drive_in_loopback,frequency_hz,change_db,compression_db,shape_db,trusted,reason",
                File.ReadAllText(Path.Combine(target, "linearity.csv")));
        }
        finally
        {
            Directory.Delete(target, recursive: true);
        }
    }
}
