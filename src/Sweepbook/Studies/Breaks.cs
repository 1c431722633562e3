// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Studies;

/// <summary>Instants at which a recording does not go on as it should: an edge between two samples, or a burst of a few milliseconds in what a linear path leaves over.</summary>
/// <remarks>
/// Lost samples, a crackling plug and a knock on the stand look alike here; only a loopback channel tells them apart. Rubbing and rattling return in every
/// period and so hide in their own background. Source: own definition.
/// </remarks>
internal static class Breaks
{
    private const double EdgeStandsOut = 14;      // times the root mean square beside it: Gaussian noise never comes near in any number of takes
    private const int BesideSamples = 512;
    private const int OwnSamples = 8;             // of the edge itself, left out of the background
    private const double LowestSteps = 8;         // of the file: rounding alone makes edges of one step
    private const int MostEdges = 6;              // more is a crackling cable or a rattle
    private const double BurstSeconds = 0.005;
    private const int BesideBursts = 20;          // 0.1 s on either side
    private const int OwnBursts = 3;
    private const double BurstDb = 18;            // over the median beside it; distortion of a subwoofer that passes a resonance reaches 15
    private const double HarmDb = -34;            // over the sweep's mean power; weaker ones cost a tenth of a decibel

    /// <summary>The first edge, in samples, or −1 where there is none, or so many that a plug crackles or something rattles.</summary>
    internal static int FirstEdge(TakeEvidence evidence)
    {
        var (first, end) = Judged(evidence);
        return Edges(evidence.Remainder, first, end, evidence.Step) is { Count: > 0 and <= MostEdges } edges ? edges[0] : -1;
    }

    /// <summary>The first burst of a few milliseconds, in samples, or −1.</summary>
    internal static int FirstBurst(TakeEvidence evidence)
    {
        var (first, end) = Judged(evidence);
        return Burst(evidence, first, end);
    }

    private static (int First, int End) Judged(TakeEvidence evidence)
    {
        var (first, end) = evidence.Sounding;
        var guard = (int)((OwnBursts + BesideBursts) * BurstSeconds * evidence.SampleRateHz);
        return (first + guard, end - guard);
    }

    /// <summary>Samples whose second difference stands out from those beside them, at least 512 samples apart.</summary>
    internal static List<int> Edges(ReadOnlySpan<double> samples, int first, int end, double step)
    {
        var found = new List<int>();
        (first, end) = (Math.Max(first, BesideSamples + 2), Math.Min(end, samples.Length - BesideSamples - 2));
        if (end <= first) return found;
        var total = 0.0;
        for (var n = first - BesideSamples; n <= first + BesideSamples; n++) total += Bend(samples, n);
        for (var n = first; n < end; n++)
        {
            var own = Bend(samples, n);
            if (own * 2 * BesideSamples > EdgeStandsOut * total && IsEdge(samples, n, own, total, step))
            {
                if (found.Count == 0 || n - found[^1] > BesideSamples) found.Add(n);
                else if (own > Bend(samples, found[^1])) found[^1] = n;
            }
            total += Bend(samples, n + BesideSamples + 1) - Bend(samples, n - BesideSamples);
        }
        return found;
    }

    private static bool IsEdge(ReadOnlySpan<double> samples, int n, double own, double total, double step)
    {
        var near = 0.0;
        for (var k = n - OwnSamples; k <= n + OwnSamples; k++) near += Bend(samples, k);
        var beside = Math.Max((total - near) / (2 * BesideSamples - 2 * OwnSamples), step * step);
        return own > EdgeStandsOut * EdgeStandsOut * beside && own > LowestSteps * LowestSteps * step * step;
    }

    /// <summary>Squared second difference.</summary>
    private static double Bend(ReadOnlySpan<double> samples, int n)
    {
        var value = samples[n + 1] - 2 * samples[n] + samples[n - 1];
        return value * value;
    }

    private static int Burst(TakeEvidence evidence, int first, int end)
    {
        var length = Math.Max(8, (int)(BurstSeconds * evidence.SampleRateHz));
        var energies = new List<double>();
        for (var n = first; n + length <= end; n += length)
        {
            var sum = 0.0;
            for (var k = n; k < n + length; k++) sum += evidence.Remainder[k] * evidence.Remainder[k];
            energies.Add(sum / length);
        }
        var harm = evidence.SweepRatio * evidence.SweepRatio * Decibels.ToPowerRatio(HarmDb);
        for (var k = 0; k < energies.Count; k++)
        {
            if (energies[k] < harm) continue;
            var beside = Enumerable.Range(k - BesideBursts, 2 * BesideBursts + 1).Where(other => other >= 0 && other < energies.Count && Math.Abs(other - k) > OwnBursts).Select(other => energies[other]).Order().ToList();
            if (beside.Count >= BesideBursts && energies[k] > beside[beside.Count / 2] * Decibels.ToPowerRatio(BurstDb)) return first + k * length + length / 2;
        }
        return -1;
    }
}
