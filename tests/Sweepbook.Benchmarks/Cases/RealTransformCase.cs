// SPDX-License-Identifier: MIT
using System.Numerics;
using System.Runtime.InteropServices;
using Sweepbook.Transforms;

namespace Sweepbook.Benchmarks.Cases;

/// <summary>The Fourier transform of real samples, beside scipy.fft.rfft with one worker.</summary>
/// <remarks>Ours goes into memory of the caller, as the analysis does it; SciPy has no such way.</remarks>
public sealed class RealTransformCase(int length) : SideCase
{
    private double[] _samples = [];
    private Complex[] _bins = [];

    public override string Name => $"rfft of {length} points";

    public override string Script => "real_transform";

    public override double GoalRatio => 0.6;

    public override double Tolerance => 2e-15 * Math.Log2(length);

    public override string WhyTolerance => "1e-15 · log2 N is promised here, and allowed to SciPy's double transform";

    public override void WriteInputs(string folder) => Write(Path.Combine(folder, "samples.f64"), Pattern(length));

    public override void Load(string folder) => (_samples, _bins) = (Read(Path.Combine(folder, "samples.f64")), new Complex[length / 2 + 1]);

    public override void Run() => FourierTransform.OfReal(_samples, length, _bins);

    public override double[] Result() => [.. MemoryMarshal.Cast<Complex, double>(_bins)];
}
