// SPDX-License-Identifier: MIT
using Sweepbook.Decay;
using Sweepbook.Filters;
using Sweepbook.Impulses;
using Sweepbook.Trust;

namespace Sweepbook.Benchmarks.Cases;

/// <summary>Every decay figure of 27 third octaves, 25 Hz to 10 kHz, of a response at 48 kHz: beside reversed sosfilt and the same steps in NumPy.</summary>
/// <remarks>We work at each band's own rate, SciPy at the full one, and both are the whole job from the response to the figures. The response is a noise-like decay above noise.</remarks>
public sealed class DecayCase(double seconds) : SideCase
{
    private const int RateHz = 48_000;
    private const int StartSample = RateHz / 50;

    private readonly Lazy<FilterBank> _bank = new(() => FilterBank.ThirdOctaves(25, 10_000, RateHz).AtOwnRates());
    private ImpulseResponse? _response;
    private BandDecays? _decays;

    public override string Name => FormattableString.Invariant($"decay figures in 27 third octaves of {seconds:0.#} s");

    public override string Script => "decay";

    public override double GoalRatio => 0.15;

    public override double Tolerance => 0.03;

    public override string WhyTolerance => "at its own rate a filter is squeezed a little differently by the bilinear transform, and other noise comes through; a decay time scatters by more than that";

    public override void WriteInputs(string folder)
    {
        var random = new Random(1);
        Write(Path.Combine(folder, "response.f64"), [.. Enumerable.Range(0, (int)(seconds * RateHz)).Select(n => n < StartSample
            ? 0
            : (random.NextDouble() - 0.5) * Math.Pow(10, -6 * (n - StartSample) / (seconds * RateHz)) + 1e-4 * (random.NextDouble() - 0.5))]);
    }

    public override void Load(string folder) => _response = new(Read(Path.Combine(folder, "response.f64")), RateHz, 0, TimeZero.Unknown, TimeGroup.None, "benchmark");

    public override void Run() => _decays = _response!.Decays(_bank.Value);

    /// <summary>Both decay times, and for bands wide enough for 50 ms definition, its like at 80 ms, and centre time.</summary>
    public override double[] Result() => [.. _decays!.SelectMany(decay => new[]
    {
        decay.Curve.FitBetween(-5, -25).T60Seconds, decay.Curve.FitBetween(-5, -35).T60Seconds, OrZero(decay.D50), OrZero(decay.D50) == 0 ? 0 : 1 / (1 + Math.Pow(10, -decay.C80.Value / 10)), OrZero(decay.Ts) / 1000,
    })];

    private static double OrZero(DecayValue value) => value.IsValid ? value.Value : 0;
}
