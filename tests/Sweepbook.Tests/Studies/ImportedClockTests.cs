// SPDX-License-Identifier: MIT
using Sweepbook.Stimuli;
using Sweepbook.Studies;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>Only a clock error that is told from none is written down.</summary>
public sealed class ImportedClockTests
{
    private static readonly Stimulus Long = Stimulus.From(new() { StartHz = 20, EndHz = 20_000, SweepSeconds = 10, LeadInSeconds = 0.5, TailSeconds = 0.5 });

    // The promise of the reading: its standard deviation is some ten parts per million for a sweep of 10 s; three of them.
    private const double TolerancePpm = 30;

    [Theory]
    [InlineData(180)]
    [InlineData(-180)]
    public void A_clear_error_is_written_with_its_sign(double ppm)
    {
        var remarks = new List<string>();
        Assert.InRange(ImportedClock.Ppm(Long, Recorded(ppm), remarks)!.Value, ppm - TolerancePpm, ppm + TolerancePpm);
        Assert.Contains(ppm > 0 ? "ppm fast" : "ppm slow", Assert.Single(remarks));
    }

    [Fact]
    public void An_error_within_its_uncertainty_is_not()
    {
        var remarks = new List<string>();
        Assert.Null(ImportedClock.Ppm(Long, Recorded(0), remarks));
        Assert.Contains("right within", Assert.Single(remarks));
    }

    [Fact]
    public void Where_the_sweep_cannot_tell_it_is_said()
    {
        var bass = Stimulus.From(new() { StartHz = 10, EndHz = 200, SweepSeconds = 4 });
        var remarks = new List<string>();
        Assert.Null(ImportedClock.Ppm(bass, new LongRecording(8).Play(bass, 2).RecordedAt(100), remarks));
        Assert.Contains("not known", Assert.Single(remarks));
    }

    private static double[] Recorded(double ppm) => new LongRecording(13).Play(Long, 1.5, (0, 0.2), (700, 0.05), (1900, -0.03)).RecordedAt(ppm);
}
