// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Impulses;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>The limits of one take that do not depend on its noise: excitation, window, upper end, and stretches in which something went wrong.</summary>
internal sealed record TakeLimits(
    double ExcitedFromHz, double ExcitedToHz, string ExcitedFrom, string ExcitedTo,
    ImpulseWindow Window, FreeFieldGate Gate, double UpperEndHz, string UpperEnd, IReadOnlyList<DoubtfulStretch> Stretches)
{
    /// <summary>The window at each frequency where it is not the same everywhere.</summary>
    internal Func<double, ImpulseWindow>? WindowAt { get; init; }

    internal static TakeLimits None { get; } = new(double.NaN, double.NaN, "", "", default, FreeFieldGate.None, double.NaN, "", []);

    internal static TakeLimits Of(SweepClock clock, Deconvolution plan, ImpulseWindow window, FreeFieldGate gate, IReadOnlyList<int> clipped, IReadOnlyList<DoubtfulStretch> more)
    {
        var design = clock.Stimulus.Description;
        var (rateEnd, sweepEnd) = (0.45 * design.SampleRateHz, design.EndHz * Math.Pow(2, -1 / 12.0));
        return new(plan.ExcitedFromHz, plan.ExcitedToHz, $"the sweep starts at {Hertz(design.StartHz)}", $"the sweep ends at {Hertz(design.EndHz)}",
            window, gate, Math.Min(rateEnd, sweepEnd), rateEnd < sweepEnd ? OfRate(design.SampleRateHz) : $"the sweep ends at {Hertz(design.EndHz)}",
            [.. clock.Around(clipped, new(Doubt.Recording, "the recording clipped while the sweep passed here")), .. more]);
    }

    /// <summary>The limits of a response that was not measured with a sweep of ours.</summary>
    internal static TakeLimits OfRecordedImpulse(ImpulseWindow window, FreeFieldGate gate, int sampleRateHz) =>
        None with { Window = window with { LeftSeconds = double.PositiveInfinity }, Gate = gate, UpperEndHz = 0.45 * sampleRateHz, UpperEnd = OfRate(sampleRateHz) };

    /// <summary>Highest frequency that is both excited and below the upper end.</summary>
    internal double HighestHz => Math.Min(ExcitedToHz, UpperEndHz);

    /// <summary>All these limits as one mask.</summary>
    internal TrustMask Mask(ReadOnlySpan<double> frequenciesHz)
    {
        var mask = Trust.Limits.From(frequenciesHz, ExcitedFromHz, new(Doubt.Excitation, ExcitedFrom))
            .And(Trust.Limits.UpTo(frequenciesHz, ExcitedToHz, new(Doubt.Excitation, ExcitedTo)))
            .And(Trust.Limits.UpTo(frequenciesHz, UpperEndHz, new(Doubt.UpperEnd, UpperEnd)))
            .And(Gate.Mask(frequenciesHz));
        if (Window.RightSeconds > 0) mask = mask.And(WindowMask.Of(WindowAt ?? (_ => Window), Gate, frequenciesHz));
        if (Stretches.Count == 0) return mask;
        var reasons = new Reason[frequenciesHz.Length];
        foreach (var stretch in Stretches)
            for (var k = 0; k < reasons.Length; k++)
                if (frequenciesHz[k] >= stretch.FromHz && frequenciesHz[k] <= stretch.ToHz && reasons[k].Doubt == Doubt.None) reasons[k] = stretch.Reason;
        return mask.And(new(frequenciesHz, reasons));
    }

    internal static string Hertz(double frequencyHz) => frequencyHz >= 1000
        ? string.Create(CultureInfo.InvariantCulture, $"{frequencyHz / 1000:0.##} kHz")
        : string.Create(CultureInfo.InvariantCulture, $"{frequencyHz:0.#} Hz");

    private static string OfRate(int sampleRateHz) => $"0.45 of the sample rate of {Hertz(sampleRateHz)}";
}
