// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Impulses;
using Sweepbook.Stimuli;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>The limits of one take that do not depend on its level: excitation, window, upper end, clipped stretches.</summary>
internal sealed record TakeLimits(
    double ExcitedFromHz, double ExcitedToHz, string ExcitedFrom, string ExcitedTo,
    double WindowFromHz, double UpperEndHz, string UpperEnd, IReadOnlyList<(double FromHz, double ToHz)> Clipped)
{
    private const double LeftPeriods = 2;                          // the band limit's ringing cut by the left slope costs < 0.1 dB from here on (tested)
    private const double ClippedNeighbourhoodOctaves = 1 / 6.0;   // design, "What may be believed": faults

    internal static TakeLimits None { get; } = new(double.NaN, double.NaN, "", "", double.NaN, double.NaN, "", []);

    internal static TakeLimits Of(
        Stimulus stimulus, Deconvolution plan, ImpulseWindow window, int sampleRateHz, IReadOnlyList<int> clipped, double soundSeconds)
    {
        var design = stimulus.Description;
        var (rateEnd, sweepEnd) = (0.45 * sampleRateHz, design.EndHz * Math.Pow(2, -1 / 12.0));
        return new(plan.ExcitedFromHz, plan.ExcitedToHz, $"the sweep starts at {Hertz(design.StartHz)}", $"the sweep ends at {Hertz(design.EndHz)}",
            Math.Max(window.TrustedFromHz, LeftPeriods / window.LeftSeconds), Math.Min(rateEnd, sweepEnd),
            rateEnd < sweepEnd ? $"0.45 of the sample rate of {Hertz(sampleRateHz)}" : $"the sweep ends at {Hertz(design.EndHz)}",
            ClippedBands(stimulus, clipped, soundSeconds));
    }

    /// <summary>All these limits as one mask.</summary>
    internal TrustMask Mask(ReadOnlySpan<double> frequenciesHz)
    {
        var mask = Trust.Limits.From(frequenciesHz, ExcitedFromHz, new(Doubt.Excitation, ExcitedFrom))
            .And(Trust.Limits.UpTo(frequenciesHz, ExcitedToHz, new(Doubt.Excitation, ExcitedTo)))
            .And(Trust.Limits.From(frequenciesHz, WindowFromHz, new(Doubt.Window, $"the time window resolves from {Hertz(WindowFromHz)}")))
            .And(Trust.Limits.UpTo(frequenciesHz, UpperEndHz, new(Doubt.UpperEnd, UpperEnd)));
        if (Clipped.Count == 0) return mask;
        var reasons = new Reason[frequenciesHz.Length];
        for (var k = 0; k < reasons.Length; k++)
            foreach (var (fromHz, toHz) in Clipped)
                if (frequenciesHz[k] >= fromHz && frequenciesHz[k] <= toHz)
                    reasons[k] = new(Doubt.Recording, "the recording clipped while the sweep passed here");
        return mask.And(new(frequenciesHz, reasons));
    }

    internal static string Hertz(double frequencyHz) => frequencyHz >= 1000
        ? string.Create(CultureInfo.InvariantCulture, $"{frequencyHz / 1000:0.##} kHz")
        : string.Create(CultureInfo.InvariantCulture, $"{frequencyHz:0.#} Hz");

    /// <summary>Where the sweep was while samples clipped, a sixth of an octave either side, overlapping stretches merged.</summary>
    private static List<(double FromHz, double ToHz)> ClippedBands(Stimulus stimulus, IReadOnlyList<int> clipped, double soundSeconds)
    {
        var design = stimulus.Description;
        var seconds = design.SweepSeconds / Math.Log(design.EndHz / design.StartHz);
        var bands = new List<(double FromHz, double ToHz)>();
        foreach (var sample in clipped)
        {
            var played = (double)(sample - stimulus.SweepStart) / stimulus.SampleRateHz - soundSeconds;
            var frequencyHz = design.StartHz * Math.Exp(Math.Clamp(played, 0, design.SweepSeconds) / seconds);
            var (fromHz, toHz) = (frequencyHz * Math.Pow(2, -ClippedNeighbourhoodOctaves), frequencyHz * Math.Pow(2, ClippedNeighbourhoodOctaves));
            if (bands.Count > 0 && fromHz <= bands[^1].ToHz) bands[^1] = (bands[^1].FromHz, Math.Max(toHz, bands[^1].ToHz));
            else bands.Add((fromHz, toHz));
        }
        return bands;
    }
}
