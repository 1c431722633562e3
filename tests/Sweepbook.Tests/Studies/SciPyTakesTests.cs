// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Microphones;
using Sweepbook.Spectra;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Transforms;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>Three takes made by an independent script with closed-form truth (tests/reference/takes, ORIGIN.md there): the whole path from files to numbers.</summary>
public sealed class SciPyTakesTests
{
    private const double LevelDb = 0.05;       // the recordings' own noise is worth up to 0.015 dB; the window cuts the last decibels of a decaying sine
    private const double PhaseDegrees = 0.5;   // 0.05 dB is 0.6 % in amplitude, 0.33°; the table prints 0.001°
    private const double FiftiethOfASample = 0.02 / 44_100 * 1000;   // milliseconds; design, "Numerical promises": full-band arrival

    private static readonly Lazy<Study> Study = new(() => Sweepbook.Studies.Study.Of(Survey.Read(Folder)));

    private static string Folder => HouseRules.Repository.Path("tests", "reference", "takes");

    [Fact]
    public void Arrivals_are_found_to_a_fiftieth_of_a_sample()
    {
        foreach (var row in Rows("expected-arrivals.csv"))
            Assert.Equal(Number(row[1]), Study.Value.Takes.Single(take => take.Take.File == row[0]).Arrival!.Value.Seconds * 1000, FiftiethOfASample);
    }

    [Fact]
    public void Levels_and_phases_agree_after_the_calibration_is_taken_off_with_its_stated_sign()
    {
        var worst = (Level: 0.0, Phase: 0.0);
        foreach (var row in Rows("expected-responses.csv"))
        {
            var result = Study.Value.Responses.Single(response => response.Takes[0].File == row[0]);
            var frequencyHz = Number(row[1]);
            var impulse = result.ImpulseResponse;
            var value = DiscreteTimeTransform.At(impulse.ToArray(), impulse.TimeZeroSamples, impulse.SampleRateHz, [frequencyHz])[0];
            var microphone = Study.Value.Survey.Microphone(result.Microphone);
            var correction = CalibrationCurve.Read(microphone.Calibrations[0].Path).CorrectionDbAt(frequencyHz, microphone.CalibrationSign);
            var level = 20 * Math.Log10(value.Magnitude) + correction;
            var phase = Math.IEEERemainder(value.Phase * 180 / Math.PI - Number(row[4]), 360);
            worst = (Math.Max(worst.Level, Math.Abs(level - Number(row[3]))), Math.Max(worst.Phase, Math.Abs(phase)));
            Assert.True(Math.Abs(level - Number(row[3])) <= LevelDb, $"{row[0]} {row[1]} Hz: {level:0.000} dB, expected {row[3]} dB");
            if (frequencyHz <= 100)   // there the table's own points are dense enough to interpolate between
                Assert.True(Math.Abs(Interpolated(result.Response, frequencyHz) - Number(row[3])) <= LevelDb, $"{row[0]} {row[1]} Hz in the table: {Interpolated(result.Response, frequencyHz):0.000} dB, expected {row[3]} dB");
            Assert.True(Math.Abs(phase) <= PhaseDegrees, $"{row[0]} {row[1]} Hz: off by {phase:0.000}°");
        }
        TestContext.Current.TestOutputHelper?.WriteLine($"worst level {worst.Level:0.0000} dB, worst phase {worst.Phase:0.000}°");
    }

    [Fact]
    public void The_grid_says_the_same_at_its_own_frequencies()
    {
        foreach (var result in Study.Value.Responses)
            foreach (var point in result.Response.Points().Where(point => point.FrequencyHz is > 30 and < 100))
            {
                var impulse = result.ImpulseResponse;
                var value = DiscreteTimeTransform.At(impulse.ToArray(), impulse.TimeZeroSamples, impulse.SampleRateHz, [point.FrequencyHz])[0];
                var microphone = Study.Value.Survey.Microphone(result.Microphone);
                var correction = CalibrationCurve.Read(microphone.Calibrations[0].Path).CorrectionDbAt(point.FrequencyHz, microphone.CalibrationSign);
                Assert.Equal(20 * Math.Log10(value.Magnitude) + correction, point.LevelDb, 1e-6);   // below 100 Hz a cell is narrower than two bins
            }
    }

    /// <summary>The level of responses.csv at a frequency between two of its points, straight in dB over log frequency.</summary>
    private static double Interpolated(Response response, double frequencyHz)
    {
        var k = 0;
        while (response[k + 1].FrequencyHz < frequencyHz) k++;
        var part = Math.Log(frequencyHz / response[k].FrequencyHz) / Math.Log(response[k + 1].FrequencyHz / response[k].FrequencyHz);
        return response[k].LevelDb + part * (response[k + 1].LevelDb - response[k].LevelDb);
    }

    private static IEnumerable<string[]> Rows(string file) => File.ReadLines(Path.Combine(Folder, file)).Skip(1).Select(line => line.Split(','));

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
