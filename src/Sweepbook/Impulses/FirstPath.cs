// SPDX-License-Identifier: MIT
using MathNet.Numerics.LinearAlgebra;
using MathNet.Numerics.LinearAlgebra.Factorization;

namespace Sweepbook.Impulses;

/// <summary>The first of several overlapping pulses of one known shape: places and heights of all that are near, fitted together.</summary>
/// <param name="Samples">Where it stands in the values given, in samples.</param>
/// <param name="HeightRatio">How high it is, with its sign.</param>
/// <param name="DeviationSamples">Standard deviation of the place.</param>
/// <remarks>
/// Pulses are added one after the other where most is left unexplained, and all are moved together until the squares of what is left are least. A path that colours the sound
/// (a loudspeaker off its axis) is not the same pulse; what that leaves unexplained widens the deviation. Pulses closer than a third of their width are taken as one.
/// Source: derived, nonlinear least squares; the order of adding after J. Li and P. Stoica, IEEE Trans. Signal Processing 44 (1996) 281–295, from memory.
/// </remarks>
internal readonly record struct FirstPath(double Samples, double HeightRatio, double DeviationSamples)
{
    private const double BeforeSeconds = 0.0003, AfterSeconds = 0.0006, MarginSeconds = 0.0003, NearSeconds = 0.00015;
    private const int MostPaths = 8;
    private const int Steps = 30;
    private const double LeftRatio = 0.03;       // of the highest pulse: less is left to the room
    private const double NoiseRatio = 4;         // a few dozen values of noise reach no higher
    private const double ApartSeconds = 3e-5;    // a third of the shortest pulse: two of opposite sign any closer are one whose colour differs, and could stand anywhere
    private const double ColouredRatio = 2, ColourSeconds = 2e-6;   // simulated loudspeakers off their axis: one pulse or two explain the same sound nearly as well, 3 µs apart
    private const double DirectRatio = 0.35;     // own choice: earlier and lower ones correct the pulse's shape, they are no arrival of their own

    /// <param name="values">The divided recording, broad weight.</param>
    /// <param name="about">Where the first arrival was seen.</param>
    /// <param name="noiseRms">Root mean square of the noise in the values.</param>
    /// <param name="filter">Whose pulse it is.</param>
    internal static FirstPath Of(ReadOnlySpan<double> values, int about, double noiseRms, MarkerFilter filter)
    {
        double rate = filter.SampleRateHz;
        var first = Math.Max(0, about - (int)((BeforeSeconds + MarginSeconds) * rate));
        var part = values[first..Math.Min(values.Length, about + (int)((AfterSeconds + MarginSeconds) * rate) + 1)].ToArray();
        var margin = MarginSeconds * rate;
        var weights = Enumerable.Range(0, part.Length).Select(n => Math.Min(n, part.Length - 1 - n) + 1 is var inside && inside < margin ? Math.Pow(Math.Sin(Math.PI / 2 * inside / margin), 2) : 1).ToArray();   // a pulse just outside must not be explained by wrong ones inside
        for (var n = 0; n < part.Length; n++) part[n] *= weights[n];
        var paths = Pair(part, weights, filter) is { } pair ? [.. pair] : new List<(double Place, double Height)>();
        if (paths.Count == 0) return new(about, values[about], double.PositiveInfinity);
        var single = new List<(double Place, double Height)> { (Highest(part), part[Highest(part)]) };
        Refine(part, single, weights, filter);
        Refine(part, paths, weights, filter);
        if (!Leaves(single)) paths = single;
        while (paths.Count < MostPaths && Leaves(paths))
        {
            var (left, at) = (Left(part, paths, weights, filter), Highest(Left(part, paths, weights, filter)));
            paths.Add((at, left[at]));
            Refine(part, paths, weights, filter);
        }
        while (Closest(paths, ApartSeconds * rate) is { } tight)
        {
            Merge(paths, tight);
            Refine(part, paths, weights, filter);
        }
        var near = paths.Where(path => Math.Abs(first + path.Place - about) <= AfterSeconds * rate).DefaultIfEmpty(paths[0]).ToList();
        var wanted = DirectRatio * near.Max(path => Math.Abs(path.Height));
        var direct = near.Where(path => Math.Abs(path.Height) >= wanted).MinBy(path => path.Place);
        var unexplained = LeftNear(Left(part, paths, weights, filter), direct.Place, NearSeconds * rate);
        var slope = Math.Max(noiseRms, unexplained) * filter.NoiseRadiansPerSecond;
        var fit = slope / (Math.Abs(direct.Height) * filter.CurvaturePerSquareSecond) * Crowding(paths, direct, weights, filter);
        var colour = unexplained > ColouredRatio * noiseRms ? ColourSeconds : 0;
        return new(first + direct.Place, direct.Height, Math.Sqrt(fit * fit + colour * colour) * rate);

        bool Leaves(List<(double Place, double Height)> tried)
        {
            var left = Left(part, tried, weights, filter);
            return Math.Abs(left[Highest(left)]) > Math.Max(LeftRatio * tried.Max(path => Math.Abs(path.Height)), NoiseRatio * noiseRms);
        }
    }

    /// <summary>The two pulses nearest to each other, where they stand closer than may be told apart; null where none do.</summary>
    private static (int One, int Other)? Closest(List<(double Place, double Height)> paths, double apart)
    {
        var (best, found) = (apart, default((int, int)?));
        for (var i = 0; i < paths.Count; i++)
            for (var j = i + 1; j < paths.Count; j++)
                if (Math.Abs(paths[i].Place - paths[j].Place) is var between && between < best) (best, found) = (between, (i, j));
        return found;
    }

    /// <summary>One pulse in the place of two: where the higher stands, as high as both together.</summary>
    private static void Merge(List<(double Place, double Height)> paths, (int One, int Other) tight)
    {
        var (one, other) = (paths[tight.One], paths[tight.Other]);
        paths[tight.One] = (Math.Abs(one.Height) >= Math.Abs(other.Height) ? one.Place : other.Place, one.Height + other.Height);
        paths.RemoveAt(tight.Other);
    }

    /// <summary>The two whole places whose pulses, at their best heights, leave least: every pair is tried, because two that overlap look like one in between.</summary>
    private static List<(double Place, double Height)>? Pair(double[] part, double[] weights, MarkerFilter filter)
    {
        var pulses = Enumerable.Range(0, part.Length).Select(place => Enumerable.Range(0, part.Length).Select(n => weights[n] * filter.PulseAt(n - place).Value).ToArray()).ToArray();
        var (own, shared) = (pulses.Select(pulse => Product(pulse, part)).ToArray(), pulses.Select(pulse => Product(pulse, pulse)).ToArray());
        var (best, found) = (0.0, default(List<(double, double)>));
        for (var i = 0; i < part.Length; i++)
            for (var j = i + 1; j < part.Length; j++)
            {
                var both = Product(pulses[i], pulses[j]);
                var determinant = shared[i] * shared[j] - both * both;
                var (a, b) = ((own[i] * shared[j] - own[j] * both) / determinant, (own[j] * shared[i] - own[i] * both) / determinant);
                if (a * own[i] + b * own[j] is var explained && explained > best) (best, found) = (explained, [(i, a), (j, b)]);
            }
        return found;
    }

    private static double Product(double[] one, double[] other)
    {
        var sum = 0.0;
        for (var n = 0; n < one.Length; n++) sum += one[n] * other[n];
        return sum;
    }

    private static int Highest(double[] left)
    {
        var at = 0;
        for (var n = 1; n < left.Length; n++)
            if (Math.Abs(left[n]) > Math.Abs(left[at])) at = n;
        return at;
    }

    private static double LeftNear(double[] left, double place, double reach)
    {
        var (sum, count) = (0.0, 0);
        for (var n = 0; n < left.Length; n++)
            if (Math.Abs(n - place) <= reach) (sum, count) = (sum + left[n] * left[n], count + 1);
        return Math.Sqrt(sum / Math.Max(1, count));
    }

    private static double[] Left(double[] part, List<(double Place, double Height)> paths, double[] weights, MarkerFilter filter)
    {
        var left = (double[])part.Clone();
        foreach (var (place, height) in paths)
            for (var n = 0; n < left.Length; n++) left[n] -= height * weights[n] * filter.PulseAt(n - place).Value;
        return left;
    }

    /// <summary>Gauss–Newton on all places and heights, a step being halved until it helps.</summary>
    private static void Refine(double[] part, List<(double Place, double Height)> paths, double[] weights, MarkerFilter filter)
    {
        var left = Left(part, paths, weights, filter);
        var energy = Product(left, left);
        for (var step = 0; step < Steps; step++)
        {
            var moves = Moves(left, paths, weights, filter);
            var (scale, isBetter) = (1.0, false);
            for (var k = 0; k < paths.Count; k++) scale = Math.Min(scale, 1 / Math.Max(1, Math.Abs(moves[k])));   // no pulse moves more than a sample at once
            while (!isBetter && scale > 1e-3)
            {
                var tried = paths.Select((path, k) => (path.Place + scale * moves[k], path.Height + scale * moves[paths.Count + k])).ToList();
                var then = Left(part, tried, weights, filter);
                var after = Product(then, then);
                if (isBetter = after < energy)
                {
                    for (var k = 0; k < paths.Count; k++) paths[k] = tried[k];
                    (left, energy) = (then, after);
                }
                else scale /= 2;
            }
            if (!isBetter || moves.Take(paths.Count).All(move => Math.Abs(move) < 1e-6)) return;
        }
    }

    private static double[] Moves(double[] left, List<(double Place, double Height)> paths, double[] weights, MarkerFilter filter)
    {
        var columns = Columns(paths, weights, filter);
        return [.. Normal(columns).Solve(columns.TransposeThisAndMultiply(Vector<double>.Build.Dense(left)))];
    }

    /// <summary>By how much the neighbours widen the deviation: root of the inverse matrix' element, over what it is for a pulse alone.</summary>
    private static double Crowding(List<(double Place, double Height)> paths, (double Place, double Height) direct, double[] weights, MarkerFilter filter)
    {
        var columns = Columns(paths, weights, filter);
        var own = paths.IndexOf(direct);
        var unit = Vector<double>.Build.Dense(columns.ColumnCount);
        unit[own] = 1;
        return Math.Max(1, Math.Sqrt(Normal(columns).Solve(unit)[own]) * columns.Column(own).L2Norm());
    }

    /// <summary>One column per place and one per height: by how much each value changes with them.</summary>
    private static Matrix<double> Columns(List<(double Place, double Height)> paths, double[] weights, MarkerFilter filter)
    {
        var columns = Matrix<double>.Build.Dense(weights.Length, 2 * paths.Count);
        for (var p = 0; p < paths.Count; p++)
            for (var n = 0; n < weights.Length; n++)
            {
                var (value, slope) = filter.PulseAt(n - paths[p].Place);
                (columns[n, p], columns[n, paths.Count + p]) = (-paths[p].Height * weights[n] * slope, weights[n] * value);
            }
        return columns;
    }

    private static Cholesky<double> Normal(Matrix<double> columns)
    {
        const double Ridge = 1e-9, Smallest = 1e-200;   // two pulses in one place, or one without height, leave the matrix without an inverse
        var normal = columns.TransposeThisAndMultiply(columns);
        for (var k = 0; k < normal.RowCount; k++) normal[k, k] = normal[k, k] * (1 + Ridge) + Smallest;
        return normal.Cholesky();
    }
}
