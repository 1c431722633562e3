// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Numerics;
using Sweepbook.Files;
using Sweepbook.Impulses;
using Sweepbook.Stimuli;
using Sweepbook.Surveys;
using Sweepbook.Transforms;
using Xunit;

namespace Sweepbook.Tests.Simulation;

/// <summary>What an independent script made (tests/reference/marker-takes) is what this project calls a stimulus, a clock error and a response.</summary>
public sealed class SciPyMarkerTakesTests
{
    private const double OneStep = 1.01 / (1 << 23);   // sine and exponential of two libraries may round to neighbouring steps of 24 bits
    private const double LevelDb = 0.1;                // noise 78 dB below full scale under responses as weak as −34 dB: 0.05 dB at 400 Hz
    private const double PhaseDegrees = 0.7;           // 0.1 dB is 1.2 % in amplitude, 0.7°

    private static string Folder => HouseRules.Repository.Path("tests", "reference", "marker-takes");

    public static TheoryData<string> Takes => [.. Rows("expected-takes.csv").Select(row => row[0])];

    [Theory]
    [InlineData("bass")]
    [InlineData("full")]
    public void Its_stimulus_is_ours(string name)
    {
        var read = Stimulus.Read(Path.Combine(Folder, "stimuli", name + ".toml"));
        var made = Stimulus.From(read.Description);
        Equal(made.ToArray(), read.ToArray());
        Equal(made.MarkerToArray(), read.MarkerToArray());

        static void Equal(double[] expected, double[] actual)
        {
            Assert.Equal(expected.Length, actual.Length);
            for (var n = 0; n < expected.Length; n++) Assert.InRange(actual[n] - expected[n], -OneStep, OneStep);
        }
    }

    [Fact]
    public void Its_survey_reads_as_timed_by_marker()
    {
        var survey = Survey.Read(Folder);
        Assert.Equal(6, survey.Takes.Count);
        Assert.All(survey.Takes, take => Assert.Equal(Sweepbook.Trust.TimeZero.Marker, take.TimeZero));
        Assert.Equal(["marker@left", "marker@right"], survey.Takes.Select(take => take.TimeGroup.Name).Distinct());
    }

    [Theory, MemberData(nameof(Takes))]
    public void With_its_clock_put_right_a_take_holds_the_response_of_the_table(string file)
    {
        var truth = Rows("expected-takes.csv").Single(row => row[0] == file);
        var stimulus = Stimulus.Read(Path.Combine(Folder, "stimuli", file.Contains("main", StringComparison.Ordinal) ? "full.toml" : "bass.toml"));
        var samples = Resampling.ByPpm(WavFile.Read(Path.Combine(Folder, file), file).Channel(1), Number(truth[1]));
        var response = Deconvolution.By(stimulus, samples.Length).Of(samples);
        var leftAtSamples = response.TimeZeroSamples - Number(truth[2]) / 1000 * stimulus.SampleRateHz;   // a recorder that starts later hears everything earlier
        foreach (var row in Rows("expected-responses.csv").Where(row => row[0] == file))
        {
            var value = DiscreteTimeTransform.At(Kept(response, leftAtSamples), leftAtSamples, stimulus.SampleRateHz, [Number(row[1])])[0];
            var expected = Complex.FromPolarCoordinates(Math.Pow(10, Number(row[2]) / 20), Number(row[3]) * Math.PI / 180);
            Assert.True(Math.Abs(20 * Math.Log10(value.Magnitude / expected.Magnitude)) <= LevelDb, $"{row[1]} Hz: {20 * Math.Log10(value.Magnitude):0.000} dB, expected {row[2]}");
            Assert.True(Math.Abs((value / expected).Phase * 180 / Math.PI) <= PhaseDegrees, $"{row[1]} Hz: {(value / expected).Phase * 180 / Math.PI:0.000}°");
        }
    }

    /// <summary>A second round the sound, so that the marker and most of the noise stay outside.</summary>
    private static double[] Kept(ImpulseResponse response, double leftAtSamples)
    {
        var samples = response.ToArray();
        var (first, end) = ((int)(leftAtSamples - 0.25 * response.SampleRateHz), (int)(leftAtSamples + 0.75 * response.SampleRateHz));
        for (var n = 0; n < samples.Length; n++)
            if (n < first || n > end) samples[n] = 0;
        return samples;
    }

    private static IEnumerable<string[]> Rows(string file) => File.ReadLines(Path.Combine(Folder, file)).Skip(1).Select(line => line.Split(','));

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
