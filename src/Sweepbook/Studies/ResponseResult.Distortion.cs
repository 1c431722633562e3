// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

public sealed partial class ResponseResult
{
    private Harmonics? _harmonics;

    internal IReadOnlyList<HarmonicReading> HarmonicReadings { get; init; } = [];

    internal Func<double, double> CorrectionDbAt { get; init; } = _ => 0;

    /// <summary>Harmonics 2 to 5 and their total over the fundamental, the mean of the repeats, the microphone's calibration taken off; null where no sweep was recorded.</summary>
    /// <remarks>
    /// Computed once. They are read from the whole sound, also where the response was cut before the first reflection. In a room each holds the room's response at order · f
    /// over that at f: compare seats before blaming the source. For what else misleads, and the source, see <see cref="Sweepbook.Impulses.Harmonics"/>.
    /// </remarks>
    public Harmonics? Harmonics => HarmonicReadings.Count == 0 ? null : LazyInitializer.EnsureInitialized(ref _harmonics, () => Sweepbook.Impulses.Harmonics.From(HarmonicReadings).Corrected(CorrectionDbAt));

    /// <summary>Why a harmonic that stands clear of its floor is not believed all the same; empty where it is, or where it does not stand clear.</summary>
    /// <param name="point">One of <see cref="Harmonics"/>.</param>
    /// <remarks>The fundamental must be trusted, and the microphone known at the harmonic. That the response depends on its level is no objection here. Source: own definition.</remarks>
    public string DoubtOf(HarmonicPoint point)
    {
        if (!point.IsTrusted) return point.Reason ?? "";
        var (fundamental, harmonic) = (ReasonNear(point.FundamentalHz), ReasonNear(Math.Max(2, point.Order) * point.FundamentalHz));
        if (fundamental.Doubt is not Doubt.None and not Doubt.LevelDependent) return $"fundamental: {fundamental.Sentence}";
        return harmonic.Doubt is Doubt.Microphone ? $"harmonic: {harmonic.Sentence}" : "";
    }

    /// <summary>By how much the response is lower at one frequency than at another, over a sixth of an octave each, in decibels: what turns a level re the fundamental into one re the response at the harmonic.</summary>
    internal double FallDb(double frequencyHz, double overHz)
    {
        return LevelNear(overHz) - LevelNear(frequencyHz);

        double LevelNear(double centreHz)
        {
            var (k, reach) = (IndexNear(centreHz), Response.Grid.PointsPerOctave / 12);
            var (first, last) = (Math.Max(0, k - reach), Math.Min(Response.Count - 1, k + reach));
            return Decibels.FromPower(Enumerable.Range(first, last - first + 1).Average(n => Response[n].PowerRatio));
        }
    }

    private Reason ReasonNear(double frequencyHz) => Response.LevelTrust.ReasonAt(IndexNear(frequencyHz));

    private int IndexNear(double frequencyHz)
    {
        var grid = Response.Grid;
        return Math.Clamp((int)Math.Round(grid.PointsPerOctave * Math.Log2(frequencyHz / grid[0])), 0, grid.Count - 1);
    }
}
