// SPDX-License-Identifier: MIT
using Sweepbook.Stimuli;

namespace Sweepbook.Impulses;

/// <summary>The window that cuts the pulse of one harmonic out of a deconvolved sweep and keeps clear of its neighbours on both sides.</summary>
/// <param name="Order">2 for the second harmonic.</param>
/// <param name="BeforeSeconds">Length before the pulse; it rises over all of it.</param>
/// <param name="AfterSeconds">Length after the pulse; it falls over the second half of it.</param>
/// <remarks>
/// At one frequency of the output, harmonic n + 1 was played before harmonic n, and harmonic n before harmonic n − 1: by L · ln((n + 1) / n) and
/// L · ln(n / (n − 1)) in an exponential sweep (fact sheet 5.2), by f / (k (n + 1)) and f / (k (n − 1)) in a linear one of k hertz per second, f being the fundamental
/// (derived: the difference of the moments at which the sweep plays f n / (n ± 1) and f). The window takes a quarter of the one and six tenths of the other;
/// 15 % stay free between neighbours. Source: the spaces from the sweep's law; their division is an own choice.
/// </remarks>
internal readonly record struct HarmonicWindow(int Order, double BeforeSeconds, double AfterSeconds)
{
    private const double BeforePart = 0.25, AfterPart = 0.6;
    private const double LongestBeforeSeconds = 0.5, LongestAfterSeconds = 1;   // as long as the window of the linear response: longer ones only gather noise

    /// <param name="order">Order of the harmonic, 2 or more.</param>
    /// <param name="fundamentalHz">The fundamental; it matters for a linear sweep only.</param>
    /// <param name="law">The sweep.</param>
    internal static HarmonicWindow Of(int order, double fundamentalHz, SweepLaw law) => new(order,
        Math.Min(LongestBeforeSeconds, BeforePart * SpaceSeconds(order + 1, order * fundamentalHz, law)),
        Math.Min(LongestAfterSeconds, AfterPart * SpaceSeconds(order, order * fundamentalHz, law)));

    /// <summary>By how much earlier harmonic <paramref name="order"/> plays a frequency of the output than harmonic <paramref name="order"/> − 1 does.</summary>
    internal static double SpaceSeconds(int order, double outputHz, SweepLaw law) => law.Kind == SweepKind.Linear
        ? (outputHz / (order - 1) - outputHz / order) / law.HzPerSecondAt(outputHz)
        : law.OctaveConstantSeconds * Math.Log(order / (order - 1.0));

    internal double Seconds => BeforeSeconds + AfterSeconds;

    /// <summary>Cuts round a moment, which need not lie on a sample; indices beyond the ends go round where the samples are circular, and count as zero where not.</summary>
    internal double[] Cut(ReadOnlySpan<double> samples, double centreSamples, int sampleRateHz, bool isCircular, out int first, out double energy)
    {
        var (before, after) = (Math.Max(1, (int)(BeforeSeconds * sampleRateHz)), Math.Max(2, (int)(AfterSeconds * sampleRateHz)));
        var weights = new double[before + after];
        Transforms.Window.RisingHalfHann(before).CopyTo(weights, 0);
        weights.AsSpan(before, after - after / 2).Fill(1);
        Transforms.Window.FallingHalfHann(after / 2).CopyTo(weights, before + after - after / 2);
        first = (int)Math.Round(centreSamples) - before;
        energy = 0;
        for (var n = 0; n < weights.Length; n++)
        {
            energy += weights[n] * weights[n];
            var at = first + n;
            if (isCircular) at = (at % samples.Length + samples.Length) % samples.Length;
            weights[n] *= at >= 0 && at < samples.Length ? samples[at] : 0;
        }
        return weights;
    }
}
