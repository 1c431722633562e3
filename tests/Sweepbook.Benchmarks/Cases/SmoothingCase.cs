// SPDX-License-Identifier: MIT
using Sweepbook.Spectra;

namespace Sweepbook.Benchmarks.Cases;

/// <summary>Twelfth-octave mean power round every bin, beside NumPy's cumulative sum read between its bins.</summary>
public sealed class SmoothingCase(int bins) : SideCase
{
    private static readonly SmoothingWidths Twelfth = SmoothingWidths.Fraction(12);

    private double[] _power = [], _means = [];

    public override string Name => $"1/12-octave smoothing of {bins} bins";

    public override string Script => "smoothing";

    public override double GoalRatio => 0.3;

    public override double Tolerance => 1e-10;

    public override string WhyTolerance => "a difference of two cumulative sums of up to 2^19 bins keeps about 11 digits of a mean over few bins";

    public override void WriteInputs(string folder) => Write(Path.Combine(folder, "power.f64"), [.. Pattern(bins).Select(x => x * x)]);

    public override void Load(string folder) => _power = Read(Path.Combine(folder, "power.f64"));

    public override void Run() => _means = Smoothing.PowerMean(_power, 1, Twelfth);

    public override double[] Result() => _means;
}
