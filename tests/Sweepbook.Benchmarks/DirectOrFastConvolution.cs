// SPDX-License-Identifier: MIT
using BenchmarkDotNet.Attributes;
using Sweepbook.Transforms;

namespace Sweepbook.Benchmarks;

/// <summary>From how many taps on is it worth convolving by the Fourier transform? A take of 5 s at 48 kHz and filters of real sizes.</summary>
/// <remarks>That both give the same numbers is a test of its own: ConvolutionTests.The_fast_way_gives_the_plain_sum.</remarks>
[MemoryDiagnoser]
public class DirectOrFastConvolution
{
    private const int TakeSamples = 240_000;
    private const double Agreement = 1e-9;   // samples of unit size, a few thousand of them added: some 1e-12 of rounding

    private double[] _take = [];
    private double[] _taps = [];

    [Params(8, 64, 512, 4096)]
    public int Taps { get; set; }

    [GlobalSetup]
    public void Fill()
    {
        var random = new Random(1);
        _take = [.. Enumerable.Range(0, TakeSamples).Select(_ => 2 * random.NextDouble() - 1)];
        _taps = [.. Enumerable.Range(0, Taps).Select(_ => 2 * random.NextDouble() - 1)];
        var worst = Direct().Zip(Fast(), (a, b) => Math.Abs(a - b)).Max();
        if (!(worst <= Agreement)) throw new InvalidOperationException($"The two ways differ by {worst}; there is nothing to compare.");
    }

    [Benchmark(Baseline = true)]
    public double[] Direct() => Convolution.Direct(_take, _taps);

    [Benchmark]
    public double[] Fast() => Convolution.Linear(_take, _taps);
}
