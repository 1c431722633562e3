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

    /// <summary>Row by row, upwards; null where noise may reach as high, or where the level is below the span.</summary>
    public object?[][] LevelsDb { get; }

    public static WaterfallCells Of(DecayMap map, int columnsPerOctave, int mostRows, double spanDb)
    {
        var columns = Enumerable.Range(0, map.FrequenciesHz.Count).GroupBy(k => (int)Math.Floor(columnsPerOctave * Math.Log2(map.FrequenciesHz[k]))).Select(group => group.ToArray()).ToArray();
        var step = (map.SliceSeconds.Count + mostRows - 1) / mostRows;
        var rows = Enumerable.Range(0, map.SliceSeconds.Count).Where(i => i % step == 0).ToArray();
        var noise = Enumerable.Range(0, map.FrequenciesHz.Count).Select(map.NoiseDb).ToArray();
        var levels = rows.Select(i => columns.Select(column => column.Max(k => map.LevelDb(i, k))).ToArray()).ToArray();
        var loudest = levels.Max(row => row.Max());
        return new(
            Edges([.. columns.Select(column => (map.FrequenciesHz[column[0]] + map.FrequenciesHz[column[^1]]) / 2)], geometric: true),
            Edges([.. rows.Select(i => map.SliceSeconds[i] * 1000)], geometric: false),
            [.. levels.Select(row => columns.Select((column, c) => Shown(row[c], column.Max(k => noise[k]), loudest)).ToArray())]);

        object? Shown(double levelDb, double noiseDb, double loudestDb) =>
            levelDb <= noiseDb || !(levelDb >= loudestDb - spanDb) ? null : Math.Round(levelDb - loudestDb, 1);
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
