// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Studies;

/// <summary>Whether the noise changes when the sweep starts: a gate makes the silence too quiet, level riding makes it too loud.</summary>
/// <remarks>
/// The noise of a room and a converter knows nothing of the sweep. It is compared with the silent block by medians, so that a step or a word does not count:
/// in bands that the sweep has left, once their late sound has settled, otherwise in bands that it has yet to reach. Judged only where two octaves can be,
/// and all of them agree; a short sweep in a long room leaves none, and nothing is said. Source: derived.
/// </remarks>
internal static class NoiseProcessing
{
    private const double GateDb = 18;              // own choice: a passing car raises it by less
    private const double RidingDb = -9;            // own choice: a person who walks away after pressing the button raises one end by less
    private const int FewestBands = 2;
    private const int FewestFrames = 5;
    private const int SettledFrames = 6;           // 0.13 s, in which late sound falls by 4 dB even where a room takes two seconds
    private const double SettledDb = 2.5;

    /// <summary>The change that all judged bands share at least, in decibels: above zero where the sweep's time is noisier; zero where they disagree, NaN where it cannot be known.</summary>
    internal static double ChangeDb(TakeEvidence evidence)
    {
        var bands = evidence.Bands;
        if (bands.FirstSweepFrame < 0) return double.NaN;
        var rounding = double.IsFinite(evidence.Step) ? evidence.Step * evidence.Step / 12 : 0;
        var (passed, ahead) = (new List<double>(), new List<double>());
        for (var band = 0; band < bands.Bands; band++)
        {
            var floor = rounding * (ClearBands.UpperHz(band) - ClearBands.LowerHz(band)) / (evidence.SampleRateHz / 2.0);
            var silent = Math.Max(bands.Median(band, 0, bands.SilentFrames, FewestFrames, BandPlace.Silent, BandPlace.Silent), floor);
            if (double.IsNaN(silent) || silent == 0) continue;
            Add(passed, Math.Max(Settled(bands, band), floor) / silent);
            Add(ahead, Math.Max(bands.Median(band, bands.FirstSweepFrame, bands.LastSweepFrame + 1, FewestFrames, BandPlace.Ahead, BandPlace.Ahead), floor) / silent);
        }
        var changes = passed.Count >= FewestBands ? passed : ahead;
        if (changes.Count < FewestBands) return double.NaN;
        return changes.All(change => change > 0) ? changes.Min() : changes.All(change => change < 0) ? changes.Max() : 0;

        static void Add(List<double> list, double ratio)
        {
            if (!double.IsNaN(ratio)) list.Add(Decibels.FromPower(ratio));
        }
    }

    internal static bool IsGate(double changeDb) => changeDb >= GateDb;

    internal static bool IsRiding(double changeDb) => changeDb <= RidingDb;

    /// <summary>The noise in a band that the sweep has left, or NaN while late sound still falls there.</summary>
    private static double Settled(ClearBands bands, int band)
    {
        var end = bands.LastSweepFrame + 1;
        var last = bands.Median(band, end - SettledFrames, end, SettledFrames, BandPlace.Passed, BandPlace.Passed);
        var before = bands.Median(band, end - 2 * SettledFrames, end - SettledFrames, SettledFrames, BandPlace.Passed, BandPlace.Passed);
        return last > 0 && before > 0 && Math.Abs(Decibels.FromPower(last / before)) <= SettledDb ? Math.Max(last, before) : double.NaN;
    }
}
