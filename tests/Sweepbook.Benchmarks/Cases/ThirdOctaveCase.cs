// SPDX-License-Identifier: MIT
using Sweepbook.Filters;

namespace Sweepbook.Benchmarks.Cases;

/// <summary>27 third-octave bands, 25 Hz to 10 kHz, of a response at 48 kHz, with no delay: beside sosfiltfilt with the same class 1 filters.</summary>
/// <remarks>
/// Both sides work at the full rate, ours into memory of the caller: 20 MB of fresh memory a run took as long again as the filters. The response has a decay time of a fifth of its length, so that what rings beyond its end, which we keep and SciPy
/// cuts off, is below every tolerance. It starts with a zero: SciPy, asked for no padding, takes its first sample for the level of all that came before.
/// </remarks>
public sealed class ThirdOctaveCase(double seconds) : SideCase
{
    private const int RateHz = 48_000;

    private readonly Lazy<FilterBank> _bank = new(() => FilterBank.ThirdOctaves(25, 10_000, RateHz));
    private double[] _response = [];
    private double[][] _bands = [];

    public override string Name => FormattableString.Invariant($"27 third-octave bands of {seconds:0.#} s, both ways");

    public override string Script => "filters";

    public override double GoalRatio => 0.15;

    public override double Tolerance => 1e-7;

    public override string WhyTolerance => "SciPy cuts the ringing of the lowest band at the response's end, 1e-8 of it at the test's length of 1 s";

    public override void WriteInputs(string folder) => Write(Path.Combine(folder, "response.f64"),
        [.. Pattern((int)(seconds * RateHz)).Select((x, n) => n == 0 ? 0 : x * Math.Pow(10, -15 * n / (seconds * RateHz)))]);

    public override void Load(string folder)
    {
        _response = Read(Path.Combine(folder, "response.f64"));
        _bands = [.. _bank.Value.Filters.Select(_ => new double[_response.Length])];
    }

    public override void Run()
    {
        for (var k = 0; k < _bands.Length; k++) _bank.Value.Filters[k].Run(_response, _bands[k], FilterUse.ZeroPhase);
    }

    public override double[] Result() => [.. _bands.SelectMany(band => band)];
}
