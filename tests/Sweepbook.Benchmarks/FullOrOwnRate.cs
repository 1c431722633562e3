// SPDX-License-Identifier: MIT
using BenchmarkDotNet.Attributes;
using Sweepbook.Filters;

namespace Sweepbook.Benchmarks;

/// <summary>27 third-octave bands, 25 Hz to 10 kHz, of a response of 2 s at 48 kHz: how much does each band's own rate save?</summary>
/// <remarks>Beside SciPy at the full rate: Cases/ThirdOctaveCase.</remarks>
[MemoryDiagnoser]
public class FullOrOwnRate
{
    private readonly FilterBank _bank = FilterBank.ThirdOctaves(25, 10000, 48000), _own = FilterBank.ThirdOctaves(25, 10000, 48000).AtOwnRates();
    private double[] _response = [];

    [GlobalSetup]
    public void Fill()
    {
        var random = new Random(1);
        _response = [.. Enumerable.Range(0, 96_000).Select(_ => 2 * random.NextDouble() - 1)];
    }

    [Benchmark(Baseline = true)]
    public IReadOnlyList<BandSignal> WholeRate() => _bank.Of(_response);

    [Benchmark]
    public IReadOnlyList<BandSignal> OwnRates() => _own.Of(_response);
}
