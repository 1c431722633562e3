// SPDX-License-Identifier: MIT
using MathNet.Numerics.Statistics;
using Sweepbook.Decay;
using Sweepbook.Quantities;
using Sweepbook.Seats;
using Sweepbook.Spectra;

namespace Sweepbook.Studies;

/// <summary>Levels in third octaves before and after, for one pair of responses.</summary>
/// <remarks>
/// The level of a band is the mean power of those of its grid cells in which both responses may be believed, the noise taken off; at least two thirds of the band must be such cells, or it has no
/// row. Its repeatability is the mean of that of its cells, weighted by their power: as if they all erred alike, which drift does and noise does not, so it is never too small. What a
/// microphone put back explains is the model of <see cref="UncertaintyOfPosition"/> for two placings, divided by √(1 + B·T / 6.9): a band of width B holds about so many independent values where
/// the sound decays by 60 dB in T. That number follows from the energy of a decay e^(−13.8 t / T), whose effective length (∫e)² / ∫e² is T / 6.9; without a decay time it is 1.
/// Source: own derivation; the bands IEC 61260-1 (see <see cref="FrequencyBand"/>).
/// </remarks>
internal static class LevelChanges
{
    private const double LeastShare = 2 / 3.0;
    private const double Coverage = 2;                     // 95 % for a standard uncertainty: JCGM 100:2008 (GUM), 6.2.1
    private static readonly double s_t60OverLength = 3 * Math.Log(10);   // 6.9: see above

    internal static IEnumerable<SeatChange> Of(ChangePair pair, ChangeContext context)
    {
        var (cells, later) = Common(pair);
        var rows = new List<SeatChange>();
        if (cells.Length == 0) return rows;
        var place = context.IsPutBack ? Placings(pair, context) : null;
        var grid = pair.Before.Response.Grid;
        foreach (var band in FrequencyBand.ThirdOctaves(Math.Max(1, grid[cells[0]] / 2), grid[cells[^1]] * 2))
        {
            var inside = Enumerable.Range(0, cells.Length).Where(n => grid[cells[n]] >= band.LowerHz && grid[cells[n]] < band.UpperHz).ToArray();
            var whole = grid.PointsPerOctave * Math.Log2(band.UpperHz / band.LowerHz);
            if (inside.Length == 0 || inside.Length < LeastShare * whole) continue;
            ResponsePoint[] before = [.. inside.Select(n => pair.Before.Response[cells[n]])], after = [.. inside.Select(n => pair.After.Response[later[n]])];
            var (mine, theirs) = (Repeatability(before), Repeatability(after));
            rows.Add(pair.Row(ChangedQuantity.Level, "dB") with
            {
                Label = band.Label,
                FromHz = band.LowerHz,
                ToHz = band.UpperHz,
                Before = Level(before),
                After = Level(after) - context.LouderDb(pair),
                TakenOff = context.LouderDb(pair),
                Repeatability = Math.Sqrt(mine * mine + theirs * theirs),
                Basis = BasisOf(before, after),
                SettingUp = SettingUp(before, after, place is null ? 0 : place[inside[0]..(inside[^1] + 1)].QuadraticMean() / Math.Sqrt(Independent(pair, band, context)), context),
            });
        }
        return pair.WhyShapeOnly is { } why ? Matched(rows, why) : rows;
    }

    /// <summary>The cells in which both may be believed, as places in the grid before and in the grid after.</summary>
    internal static (int[] Before, int[] After) Common(ChangePair pair)
    {
        var (mine, theirs) = (pair.Before.Response, pair.After.Response);
        var offset = PlaceOf(theirs.Grid) - PlaceOf(mine.Grid);   // grids share their anchor
        var common = Enumerable.Range(0, mine.Count).Where(k => k - offset >= 0 && k - offset < theirs.Count && IsBelieved(mine, k, pair) && IsBelieved(theirs, k - offset, pair)).ToArray();
        return (common, [.. common.Select(k => k - offset)]);

        static int PlaceOf(LogGrid grid) => grid.Count == 0 ? 0 : (int)Math.Round(grid.PointsPerOctave * Math.Log2(grid[0] / 1000));
    }

    private static bool IsBelieved(Response response, int k, ChangePair pair) =>
        response.LevelTrust[k] && !response[k].IsCensored && response.Grid[k] >= pair.Band.FromHz && response.Grid[k] <= pair.Band.ToHz;

    private static double Level(ResponsePoint[] cells) =>
        Decibels.FromPower(cells.Average(cell => Math.Max(0, cell.PowerRatio - (double.IsNaN(cell.NoisePowerRatio) ? 0 : cell.NoisePowerRatio))));

    private static double Repeatability(ResponsePoint[] cells) => Weighted(cells, cell => cell.Uncertainty.RepeatabilityDb);

    /// <summary>Mean over those cells of which it is known, weighted by power; NaN where it is known of none.</summary>
    private static double Weighted(ResponsePoint[] cells, Func<ResponsePoint, double> of)
    {
        var (sum, weight) = (0.0, 0.0);
        foreach (var cell in cells)
            if (of(cell) is var value && double.IsFinite(value)) (sum, weight) = (sum + cell.PowerRatio * value, weight + cell.PowerRatio);
        return weight > 0 ? sum / weight : double.NaN;
    }

    private static double SettingUp(ResponsePoint[] before, ResponsePoint[] after, double placeDb, ChangeContext context)
    {
        var (warm, warmLater) = (Weighted(before, cell => cell.Uncertainty.TemperatureDb), Weighted(after, cell => cell.Uncertainty.TemperatureDb));
        var air = double.IsNaN(warm + warmLater) ? 0 : warm * warm + warmLater * warmLater;
        var (zero, zeroLater) = (before[0].Uncertainty.LevelDb, after[0].Uncertainty.LevelDb);
        return Coverage * Math.Sqrt(placeDb * placeDb + air + (context.AreTwoSurveys ? zero * zero + zeroLater * zeroLater : 0));
    }

    /// <summary>What two placings explain at each common cell, one standard deviation: the root mean square of what both responses say.</summary>
    private static double[] Placings(ChangePair pair, ChangeContext context)
    {
        var (cells, later) = Common(pair);
        var (mine, theirs) = (UncertaintyOfPosition.BetweenPlacingsDb(pair.Before.Takes[0], pair.Before.Response, context.Before.Study.SpeedOfSoundMetresPerSecond),
            UncertaintyOfPosition.BetweenPlacingsDb(pair.After.Takes[0], pair.After.Response, context.After.Study.SpeedOfSoundMetresPerSecond));
        return [.. cells.Select((k, n) => Math.Sqrt((Known(mine[k]) + Known(theirs[later[n]])) / 2))];

        static double Known(double db) => double.IsNaN(db) ? 0 : db * db;
    }

    private static double QuadraticMean(this double[] values) => Math.Sqrt(values.Average(value => value * value));

    private static double Independent(ChangePair pair, FrequencyBand band, ChangeContext context)
    {
        var seconds = context.DecaySeconds(pair, band.CentreHz);
        return double.IsNaN(seconds) ? 1 : 1 + (band.UpperHz - band.LowerHz) * seconds / s_t60OverLength;
    }

    private static string BasisOf(ResponsePoint[] before, ResponsePoint[] after)
    {
        var bases = new[] { before, after }.Select(side => side.Select(cell => cell.Uncertainty.Basis).FirstOrDefault(basis => basis != RepeatabilityBasis.None)).ToList();
        return bases.Contains(RepeatabilityBasis.None) ? "" : bases.Contains(RepeatabilityBasis.Noise) ? "noise only" : "repeats";
    }

    /// <summary>Both matched by the median of their differences: what is left is shape.</summary>
    private static IEnumerable<SeatChange> Matched(List<SeatChange> rows, string why)
    {
        if (rows.Count == 0) return rows;
        var offset = rows.Select(row => row.Difference).Median();
        return rows.Select(row => row with { Quantity = ChangedQuantity.Shape, After = row.After - offset, TakenOff = row.TakenOff + offset, Reason = FormattableString.Invariant($"shape only, because {why}; {offset:0.0} dB taken off the level after") });
    }
}
