// SPDX-License-Identifier: MIT
using Sweepbook.Decay;

namespace Sweepbook.Notebook;

/// <summary>A decay map brought down to what a figure shows: the loudest of each fraction of an octave, every few slices, decibels below the loudest of all.</summary>
internal sealed class WaterfallCells
{
    private WaterfallCells(double[] edgesHz, double[] edgesMs, object?[][] levelsDb) => (EdgesHz, EdgesMs, LevelsDb) = (edgesHz, edgesMs, levelsDb);

    /// <summary>One more than there are columns.</summary>
    public double[] EdgesHz { get; }

    /// <summary>One more than there are rows.</summary>
    public double[] EdgesMs { get; }

    /// <summary>
    /// Row by row, upwards; null where noise may reach as high, or where the level is below the span. Once a column has sunk into the noise, only what
    /// stands well out of it is sound again: noise goes up and down.
    /// </summary>
    public object?[][] LevelsDb { get; }

    /// <summary>The power of noise in one slice exceeds ln 1000 times its mean with a probability of 1 in 1000 (exponential law; fact sheet 15.2).</summary>
    private const double LateOverNoiseDb = 8.4;

    public static WaterfallCells Of(DecayMap map, int columnsPerOctave, int mostRows, double spanDb)
    {
        var columns = Enumerable.Range(0, map.FrequenciesHz.Count).GroupBy(k => (int)Math.Floor(columnsPerOctave * Math.Log2(map.FrequenciesHz[k]))).Select(group => group.ToArray()).ToArray();
        var step = (map.SliceSeconds.Count + mostRows - 1) / mostRows;
        var rows = Enumerable.Range(0, map.SliceSeconds.Count).Where(i => i % step == 0).ToArray();
        var noise = Enumerable.Range(0, map.FrequenciesHz.Count).Select(map.NoiseDb).ToArray();
        var levels = rows.Select(i => columns.Select(column => column.Max(k => map.LevelDb(i, k))).ToArray()).ToArray();
        var loudest = levels.Max(row => row.Max());
        var ceiling = columns.Select(column => column.Max(k => noise[k])).ToArray();
        var sunk = new bool[columns.Length];   // rows are gone through upwards, so in the order of time
        return new(
            Edges([.. columns.Select(column => (map.FrequenciesHz[column[0]] + map.FrequenciesHz[column[^1]]) / 2)], geometric: true),
            Edges([.. rows.Select(i => map.SliceSeconds[i] * 1000)], geometric: false),
            [.. levels.Select(row => columns.Select((column, c) => Shown(row[c], c)).ToArray())]);

        object? Shown(double levelDb, int column)
        {
            if (levelDb <= ceiling[column] + (sunk[column] ? LateOverNoiseDb : 0))
            {
                sunk[column] = true;
                return null;
            }
            return levelDb >= loudest - spanDb ? Math.Round(levelDb - loudest, 1) : null;
        }
    }

    /// <summary>Half-way between neighbours; the outer ones as far out as the next ones are in.</summary>
    private static double[] Edges(double[] centres, bool geometric)
    {
        if (centres.Length == 1) return geometric ? [centres[0] / 1.01, centres[0] * 1.01] : [centres[0] - 1, centres[0] + 1];
        double[] places = geometric ? [.. centres.Select(frequency => Math.Log(frequency))] : centres;
        var edges = new double[places.Length + 1];
        for (var n = 1; n < places.Length; n++) edges[n] = (places[n - 1] + places[n]) / 2;
        (edges[0], edges[^1]) = (2 * places[0] - edges[1], 2 * places[^1] - edges[^2]);
        return geometric ? [.. edges.Select(place => Math.Exp(place))] : edges;
    }
}
