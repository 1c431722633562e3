// SPDX-License-Identifier: MIT
using System.Numerics;
using System.Runtime.InteropServices;
using Sweepbook.Seats;

namespace Sweepbook.Benchmarks.Cases;

/// <summary>Power, level and complex means, spread, lowest and highest level over nine weighted seats, beside NumPy's reductions along the axis of the seats.</summary>
/// <remarks>Ours goes into memory of the caller. NumPy's weighted means can be written as products of a row and a matrix too, which halves its time.</remarks>
public sealed class SeatsCase(int seats, int bins) : SideCase
{
    private Complex[][] _values = [];
    private double[][] _powers = [];
    private LevelStatistics _statistics = new(0);
    private Complex[] _complexMean = [];
    private double[] _spread = [];
    private double[] _weights = [];

    public override string Name => $"statistics of {seats} seats at {bins} bins";

    public override string Script => "seats";

    public override double GoalRatio => 0.3;

    public override double Tolerance => 1e-13;

    public override string WhyTolerance => "sums of nine terms and logarithms differ in their last bits only";

    public override void WriteInputs(string folder)
    {
        var pattern = Pattern(2 * seats * bins);
        Write(Path.Combine(folder, "values.f64"), pattern);
        Write(Path.Combine(folder, "powers.f64"), [.. Enumerable.Range(0, seats * bins).Select(n => 1e-9 + pattern[2 * n] * pattern[2 * n] + pattern[2 * n + 1] * pattern[2 * n + 1])]);
        Write(Path.Combine(folder, "weights.f64"), [.. Enumerable.Range(0, seats).Select(n => n % 3 == 2 ? 0.5 : 1)]);
    }

    public override void Load(string folder)
    {
        var values = MemoryMarshal.Cast<double, Complex>(Read(Path.Combine(folder, "values.f64")).AsSpan()).ToArray();
        _values = [.. values.Chunk(bins)];
        _powers = [.. Read(Path.Combine(folder, "powers.f64")).Chunk(bins)];
        _weights = Read(Path.Combine(folder, "weights.f64"));
        (_statistics, _complexMean, _spread) = (new(bins), new Complex[bins], new double[bins]);
    }

    public override void Run()
    {
        _statistics.Fill(_powers, _weights);
        LevelStatistics.ComplexMean(_values, _weights, _complexMean);
        LevelStatistics.Spread(_statistics.VarianceDb2, _spread);
    }

    public override double[] Result() =>
        [.. _statistics.PowerMeanDb, .. _statistics.LevelMeanDb, .. _spread, .. _statistics.LowestDb, .. _statistics.HighestDb, .. MemoryMarshal.Cast<Complex, double>(_complexMean)];
}
