// SPDX-License-Identifier: MIT
using Sweepbook.Microphones;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Xunit;
using static Sweepbook.Tests.Microphones.ComparedResponses;

namespace Sweepbook.Tests.Microphones;

/// <summary>The interval of a deviation holds the truth in 95 % of surveys, whatever the numbers of set-ups.</summary>
public sealed class PlacementScatterTests
{
    private static readonly LogGrid Coarse = LogGrid.Between(24, 30, 23_000);   // eight cells in each third octave

    private const int Surveys = 60;
    private const double LeastCoverage = 0.93;   // of 95 %: 60 surveys of some 27 bands that hang together leave about ± 1 %, a scatter that grows with frequency the rest

    /// <summary>Readings whose third octaves scatter by 0.1 dB at 100 Hz and 1 dB at 10 kHz: as placement does in a room.</summary>
    private static Response SetUp(ulong seed, double scale = 1)
    {
        var draws = Signals.Noise(64, seed);
        return Of(Coarse, hz => scale * Math.Sqrt(hz / 10_000) * draws[(int)Math.Round(10 * Math.Log10(hz / 1000)) + 30], 40, 20_000);
    }

    [Theory]
    [InlineData(2, 1)]
    [InlineData(3, 1)]
    [InlineData(3, 3)]
    [InlineData(6, 2)]
    public void The_interval_holds_the_truth_in_95_of_100_surveys(int references, int tested)
    {
        var (inside, all, widths) = (0, 0, 0.0);
        for (var survey = 0; survey < Surveys; survey++)
        {
            var seed = (ulong)(1 + 1000 * survey);
            var compared = MicrophoneComparison.Between("pocket", [.. Enumerable.Range(0, tested).Select(n => SetUp(seed + 500 + (ulong)n))],
                "reference", [.. Enumerable.Range(0, references).Select(n => SetUp(seed + (ulong)n))]);
            foreach (var band in compared.ThirdOctaves.Concat(compared.Octaves).Where(band => band.IsGiven))
            {
                inside += Math.Abs(band.DeviationDb) <= band.RepeatabilityDb ? 1 : 0;
                all++;
                widths += band.RepeatabilityDb;
            }
        }
        Assert.InRange((double)inside / all, LeastCoverage, 0.999);   // above, the interval would be needlessly wide
    }

    [Fact]
    public void More_set_ups_of_the_reference_make_the_interval_narrower()
    {
        double Width(int references) => Enumerable.Range(0, 20).Average(survey => MicrophoneComparison.Between("pocket", [SetUp((ulong)(77 + survey))], "reference",
            [.. Enumerable.Range(0, references).Select(n => SetUp((ulong)(1000 * (survey + 1) + n)))]).TopOctaves[^1].RepeatabilityDb);
        Assert.True(Width(2) > Width(3) && Width(3) > Width(6), $"{Width(2):0.00} {Width(3):0.00} {Width(6):0.00}");
    }

    [Fact]
    public void Repeats_of_the_tested_one_made_in_one_go_do_not_count_as_set_ups()
    {
        Response[] reference = [.. Enumerable.Range(0, 3).Select(n => SetUp((ulong)(n + 1)))];
        var once = MicrophoneComparison.Between("pocket", [SetUp(9)], "reference", reference);
        var inOneGo = MicrophoneComparison.Between("pocket", [SetUp(9), SetUp(9), SetUp(9)], "reference", reference);
        var again = MicrophoneComparison.Between("pocket", [SetUp(9), SetUp(10), SetUp(11)], "reference", reference);
        Assert.Equal(once.TopOctaves.Select(octave => octave.RepeatabilityDb), inOneGo.TopOctaves.Select(octave => octave.RepeatabilityDb));
        Assert.True(again.Octaves.Where(octave => octave.IsGiven).Average(octave => octave.RepeatabilityDb) < once.Octaves.Where(octave => octave.IsGiven).Average(octave => octave.RepeatabilityDb));
    }
}
