// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Studies;
using Sweepbook.Tests.Files;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class GroupDelayOfTakesTests
{
    [Fact]
    public void A_take_that_is_only_late_has_that_group_delay_at_every_trusted_frequency_and_one_without_time_zero_has_none()
    {
        const double NoiseSeconds = 2e-4;   // at 20 Hz a phase error of 1.5° at 30 dB; the noise of the take is far below that
        const double HalfLastDigit = 5.1e-6;   // of the value: six digits
        const int Late = 480;
        using var survey = new SmallSurvey();
        survey.Add("a.wav", [(Late, 0.2)], noise: 1e-6);
        survey.Add("b.wav", [(Late, 0.2)], noise: 1e-6, keys: "time_zero = \"unknown\"", seat: "chair");
        var study = Study.Of(survey.Read());
        var (known, unknown) = (study.Response("main", "sofa"), study.Response("main", "chair"));
        var delays = known.Response.GroupDelaysSeconds();
        Assert.True(known.PhaseBand.ToHz > 1_000);
        for (var k = 0; k < delays.Length; k++)
            if (known.Response.Grid[k] >= 20 && known.Response.PhaseTrust[k]) Assert.Equal((double)Late / SmallSurvey.Rate, delays[k], NoiseSeconds);
        Assert.All(unknown.Response.GroupDelaysSeconds(), delay => Assert.True(double.IsNaN(delay)));
        using var folder = new TemporaryFolder();
        study.WriteTables(folder["out"]);
        var rows = File.ReadAllLines(Path.Combine(folder["out"], "responses.csv")).Select(line => line.Split(',')).ToList();
        var column = Array.IndexOf(rows[0], "group_delay_ms");
        Assert.Equal("phase_deg", rows[0][column - 1]);
        var (at, trusted) = (0, Array.IndexOf(rows[0], "trusted_phase"));
        foreach (var row in rows.Skip(1).Where(row => row[2] == "sofa"))
        {
            Assert.Equal(double.IsNaN(delays[at]), row[column].Length == 0);
            Assert.Equal(row[trusted] == "true", row[column].Length > 0);
            if (!double.IsNaN(delays[at])) Assert.Equal(1, double.Parse(row[column], CultureInfo.InvariantCulture) / (delays[at] * 1000), HalfLastDigit);
            at++;
        }
        Assert.All(rows.Where(row => row[2] == "chair"), row => Assert.Equal("", row[column]));
    }

    /// <summary>A calibration of levels has no delay: taking it off moves the level and leaves the group delay alone.</summary>
    [Fact]
    public void A_calibration_leaves_the_group_delay_alone()
    {
        const double RoundingSeconds = 1e-9;
        using var plain = new SmallSurvey();
        using var calibrated = new SmallSurvey(microphone: "calibration = \"omni.txt\"");
        calibrated.WriteCalibration("10 0\n100 0\n1000 6\n20000 6\n");
        foreach (var survey in new[] { plain, calibrated }) survey.Add("a.wav", [(480, 0.2), (900, 0.1)], noise: 1e-6);
        var (without, with) = (Assert.Single(Study.Of(plain.Read()).Responses).Response, Assert.Single(Study.Of(calibrated.Read()).Responses).Response);
        var (delays, same) = (without.GroupDelaysSeconds(), with.GroupDelaysSeconds());
        var k = with.Grid.ToArray().Count(frequencyHz => frequencyHz < 2000);
        Assert.Equal(-6, with[k].LevelDb - without[k].LevelDb, 0.01);
        Assert.Contains(Enumerable.Range(0, delays.Length), n => double.IsFinite(same[n]));
        for (var n = 0; n < delays.Length; n++)
            if (double.IsFinite(delays[n]) && double.IsFinite(same[n])) Assert.Equal(delays[n], same[n], RoundingSeconds);
    }
}
