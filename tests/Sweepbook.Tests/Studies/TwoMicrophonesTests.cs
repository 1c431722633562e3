// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Seats;
using Sweepbook.Spectra;
using Sweepbook.Studies;
using Sweepbook.Tests.Microphones;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>
/// Two microphones at one place: "omni" hears the sound as it is, "warped" through M = 1 + 0.5 z⁻¹, which is of minimum phase. Where M is taken out in level and phase the two heard the same.
/// </summary>
public sealed class TwoMicrophonesTests
{
    private const double LeftRatio = 0.003;   // of a file in steps of 1/48 octave, and of the noise

    [Theory]
    [InlineData("response", 1)]
    [InlineData("correction", -1)]
    public void A_phase_that_the_calibration_states_is_taken_out_either_way_and_then_two_microphones_may_meet(string sign, int direction)
    {
        using var folder = Prepared($"calibration_sign = \"{sign}\"", 20, hz => direction * LevelDb(hz), hz => direction * M(hz).Phase * 180 / Math.PI);
        var study = Study.Of(folder.Read());
        var (one, other) = (study.Responses[0].Response, study.Responses[1].Response);
        Assert.Equal(("omni", "warped"), (one.Microphone, other.Microphone));
        Assert.True(other.IsMicrophonePhaseOut);
        foreach (var hz in new[] { 25.0, 300, 3000, 9000 }) Assert.Equal(0, (At(other, hz).Value / At(one, hz).Value - 1).Magnitude, LeftRatio);
        var (mine, theirs) = (one.GroupDelaysSeconds(), other.GroupDelaysSeconds());
        const double DelaySeconds = 5e-7;   // one point scatters by a microsecond with the noise, the mean of 400 by a tenth of that; M delays by 6 µs
        Assert.Equal(0, Enumerable.Range(0, mine.Length).Where(k => one.Grid[k] is > 500 and < 9000).Average(k => theirs[k] - mine[k]), DelaySeconds);
        var sum = one.Plus(other);
        Assert.Equal(0, (At(sum, 3000).Value / At(one, 3000).Value - 2).Magnitude, 2 * LeftRatio);
        Assert.False(At(sum, 15).TrustedPhase);   // M is calibrated from 20 Hz
        Assert.Equal("the phases of the two microphones are not calibrated here", At(sum, 15).PhaseReason.Sentence);
        Assert.True(At(one, 15).TrustedPhase);
        var mean = SeatSet.Of([new("a", one), new("b", other)]).ComplexMean();
        Assert.True(double.IsNaN(mean[0].Real) && double.IsFinite(mean[mean.Length / 2].Real));
        Assert.Contains(study.Findings, finding => finding.Id == "calibration-phase" && finding.Sentence == "The phase of warped was taken out as its calibration states it.");
    }

    [Fact]
    public void The_minimum_phase_of_the_levels_does_as_well_where_it_is_assumed_and_that_is_said()
    {
        const string Minimum = "calibration_phase = \"minimum\"";
        using var folder = Prepared(Minimum, 20, LevelDb, null, 23_900);
        var study = Study.Of(folder.Read());
        var (one, other) = (study.Responses[0].Response, study.Responses[1].Response);
        const double FlatBeyondRatio = 0.03;   // the file ends at 24 kHz, and so does what the phase can know of M: 1° at 1 kHz and little below
        foreach (var hz in new[] { 30.0, 100, 300, 1000 }) Assert.Equal(0, (At(other, hz).Value / At(one, hz).Value - 1).Magnitude, FlatBeyondRatio * hz / 1000 + LeftRatio);
        Assert.Contains(study.Findings, finding => finding.Id == "calibration-phase" && finding.Sentence.Contains("an assumption of the survey", StringComparison.Ordinal));
    }

    [Fact]
    public void Without_their_phases_two_microphones_are_refused_wherever_complex_values_meet()
    {
        using var folder = Prepared("", 20, LevelDb, null);
        var study = Study.Of(folder.Read());
        var (one, other) = (study.Responses[0], study.Responses[1]);
        Assert.False(other.Response.IsMicrophonePhaseOut);
        var refusal = Assert.Throws<ArgumentException>("other", () => one.Response.Plus(other.Response)).Message;
        Assert.Contains("omni heard one and warped the other, and each microphone has a phase of its own", refusal, StringComparison.Ordinal);
        Assert.Contains("Measure both with one microphone", refusal, StringComparison.Ordinal);
        Assert.Contains("each microphone has a phase of its own", Assert.Throws<ArgumentException>(() => other.DelayAfter(one)).Message, StringComparison.Ordinal);
        Assert.Contains("each microphone has a phase of its own", SeatSet.Of([new("a", one.Response), new("b", other.Response)]).WhyNoComplexMean, StringComparison.Ordinal);
        foreach (var made in new[] { other.Response.Gained(3), other.Response.Delayed(1), other.Response.Inverted(), other.Windowed(20, 100).Response, other.Through(WindowLengths.Periods(10)), other.Response.Plus(other.Response) })
        {
            Assert.Equal("warped", made.Microphone);
            Assert.Throws<ArgumentException>(() => one.Response.Plus(made));
        }
        one.Response.Plus(one.Response.Delayed(1));   // one microphone, whatever its phase
    }

    private static ResponsePoint At(Response response, double hz) => response.Points().MinBy(point => Math.Abs(Math.Log(point.FrequencyHz / hz)));

    private static Complex M(double hz) => 1 + 0.5 * Complex.FromPolarCoordinates(1, -2 * Math.PI * hz / SmallSurvey.Rate);

    private static double LevelDb(double hz) => 20 * Math.Log10(M(hz).Magnitude);

    private static SmallSurvey Prepared(string keys, double fromHz, Func<double, double> levelDb, Func<double, double>? degrees, double toHz = 20_000)
    {
        var folder = new SmallSurvey("calibration = \"flat.txt\"\nlowest_hz = 10", $"[[microphone]]\nid = \"warped\"\ncalibration = \"omni.txt\"\nlowest_hz = 10\n{keys}\n");
        folder.WriteCalibration(CalibrationPhaseTests.Text(levelDb, degrees, fromHz, toHz, 48));
        File.WriteAllText(Path.Combine(folder.Folder, "flat.txt"), degrees is null ? "5 0\n24000 0\n" : "5 0 0\n24000 0 0\n");
        folder.Add("a.wav", [(480, 0.2)], noise: 1e-6);
        folder.Add("b.wav", [(480, 0.2), (481, 0.1)], noise: 1e-6, keys: "microphone = \"warped\"", seat: "sofa", seed: 2);
        return folder;
    }
}
