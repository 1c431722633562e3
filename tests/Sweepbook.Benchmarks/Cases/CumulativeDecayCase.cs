// SPDX-License-Identifier: MIT
using Sweepbook.Decay;
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Benchmarks.Cases;

/// <summary>Cumulative decay of 20 to 500 Hz through a window of 0.5 s, of a response at 48 kHz: beside NumPy, which transforms every slice at the full rate and picks the bins.</summary>
/// <remarks>Both sides give powers at the same frequencies and moments. The moments go to the other side as sample numbers, because finding the start is not what is compared.</remarks>
public sealed class CumulativeDecayCase(double seconds, int slices) : SideCase
{
    private const int RateHz = 48_000;
    private const double WindowSeconds = 0.5, RiseSeconds = 0.025, SpacingSeconds = 0.005, LeadSeconds = 0.05;

    private ImpulseResponse? _response;
    private DecayMap? _map;

    public override string Name => FormattableString.Invariant($"cumulative decay of {seconds:0.#} s, {slices} slices, 20 to 500 Hz");

    public override string Script => "cumulative_decay";

    public override double GoalRatio => 0.1;

    public override double Tolerance => 2e-4;

    public override string WhyTolerance => "the rate is halved four times, each costing up to 1e-4 dB, and what folds lies 100 dB down";

    public override void WriteInputs(string folder)
    {
        var lead = (int)(LeadSeconds * RateHz);
        var samples = Pattern((int)(seconds * RateHz)).Select((x, n) => n < lead ? 0 : x * Math.Pow(10, -3 * (n - lead) / (0.6 * RateHz))).ToArray();
        Write(Path.Combine(folder, "response.f64"), samples);
        Load(folder);
        Run();
        Write(Path.Combine(folder, "moments.f64"), [.. _map!.SliceSeconds.Select(moment => Math.Round((_map.StartSeconds + moment) * RateHz))]);
    }

    public override void Load(string folder) =>
        _response = new(Read(Path.Combine(folder, "response.f64")), RateHz, 0, TimeZero.Unknown, TimeGroup.None, "benchmark");

    public override void Run() =>
        _map = DecayMap.Cumulative(_response!, fromHz: 20, toHz: 500, WindowSeconds, (slices - 1) * SpacingSeconds, slices, RiseSeconds);

    public override double[] Result() =>
        [.. Enumerable.Range(0, slices).SelectMany(i => Enumerable.Range(0, _map!.FrequenciesHz.Count).Select(k => Decibels.ToPowerRatio(_map.LevelDb(i, k))))];
}
