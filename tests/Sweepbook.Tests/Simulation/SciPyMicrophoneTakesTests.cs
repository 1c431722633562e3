// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Tests.Simulation;

/// <summary>What an independent script planted in five microphones (tests/reference/microphone-takes) is what the comparison finds.</summary>
public sealed class SciPyMicrophoneTakesTests
{
    private const double PromisedDb = 0.3;   // inside the trusted band, set-ups and noise included

    private static readonly string Folder = HouseRules.Repository.Path("tests", "reference", "microphone-takes");
    private static readonly Lazy<Study> Measured = new(() => Study.Of(Survey.Read(Folder)));

    [Theory]
    [InlineData("hot")]
    [InlineData("tired")]
    [InlineData("cheap")]
    [InlineData("good")]
    public void Every_planted_deviation_is_found(string microphone)
    {
        var comparison = Measured.Value.Microphone(microphone).ComparedWith("reference");
        Assert.Equal(2, comparison.RepeatsOfReference);
        var (compared, worst) = (0, 0.0);
        foreach (var row in File.ReadLines(Path.Combine(Folder, "expected-deviations.csv")).Skip(1).Select(line => line.Split(',')).Where(row => row[0] == microphone))
        {
            var (nominalHz, expectedDb) = (Number(row[2]), Number(row[3]));
            var band = (row[1] == "octave" ? comparison.Octaves : comparison.ThirdOctaves).Single(item => Math.Abs(Math.Log2(item.Band.CentreHz / nominalHz)) < 0.05);
            if (!band.IsGiven) continue;
            compared++;
            worst = Math.Max(worst, Math.Abs(band.DeviationDb - expectedDb));
            Assert.True(Math.Abs(band.DeviationDb - expectedDb) <= PromisedDb, $"{row[1]} {row[2]} Hz: {band.DeviationDb:0.00} dB, planted {expectedDb:0.00} dB");
        }
        TestContext.Current.TestOutputHelper?.WriteLine($"{microphone}: {compared} bands, worst error {worst:0.000} dB");
        Assert.True(compared >= 36, $"{compared} of 38 bands have a number");
    }

    [Fact]
    public void What_is_planted_is_called_significant_and_what_is_not_is_no_more_than_a_third_of_a_decibel()
    {
        foreach (var microphone in new[] { "hot", "tired" }) Assert.True(Measured.Value.Microphone(microphone).ComparedWith("reference").TopOctaves.All(band => band.IsSignificant), microphone);
        Assert.True(Measured.Value.Microphone("tired").ComparedWith("reference").BottomOctave is { IsSignificant: true, DeviationDb: < -1.9 });
        Assert.All(Measured.Value.Microphone("good").ComparedWith("reference").Octaves.Where(band => band.IsGiven), band => Assert.InRange(band.DeviationDb, -1 / 3.0, 1 / 3.0));
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
