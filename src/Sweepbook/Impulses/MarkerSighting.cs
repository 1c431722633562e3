// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;

namespace Sweepbook.Impulses;

/// <summary>What a stretch of a recording shows of one marker: its first arrival, and how far that stands above what came before.</summary>
/// <param name="Sample">The first arrival, to the sample, in samples of the recording.</param>
/// <param name="SnrDb">Envelope of the first arrival over the root mean square of the noise before it.</param>
/// <param name="NoiseRms">That noise, over the height of a marker at which nothing was lost.</param>
/// <remarks>
/// The first arrival is the first crest of the envelope within 12 dB of the highest one and well above the noise; a direct sound more than 12 dB weaker than a reflection is missed.
/// Source: own definition.
/// </remarks>
internal readonly record struct MarkerSighting(int Sample, double SnrDb, double NoiseRms)
{
    internal const double WantedDb = 20;             // own choice: noise alone reaches 13 dB over half a second, and timing is then right to a tenth of a sample
    private const double FirstRatio = 0.25;
    private const double NoiseRatio = 4.5;           // over the root mean square; noise alone reaches that far about once in 25 000 samples
    private const double GuardSeconds = 0.003;       // the pulse's own side lobes
    private const double QuietSeconds = 0.02;        // less before the arrival tells no noise
    private const double MedianOfEnvelope = 1.1774;  // of the envelope of noise, over its root mean square: √(2 ln 2), Rayleigh distribution

    internal double MissingDb => WantedDb - SnrDb;

    internal bool IsUsable => SnrDb >= WantedDb;

    /// <summary>Looks for the marker from <paramref name="first"/> on.</summary>
    internal static MarkerSighting Of(MarkerFilter filter, ReadOnlySpan<double> recording, int first, int count)
    {
        var values = filter.Of(recording, first, count, isBroad: false);
        var envelope = values.Select(value => value.Magnitude).ToArray();
        var highest = envelope.Max();
        if (highest == 0) return new(first, double.NegativeInfinity, 0);
        var noise = envelope.Order().ElementAt(count / 2) / MedianOfEnvelope;
        var at = Crest(envelope, Math.Max(FirstRatio * highest, Math.Min(NoiseRatio * noise, highest)));
        var (from, to) = (Math.Max(0, -first), at - (int)(GuardSeconds * filter.SampleRateHz));   // before the recording there is no noise to be seen
        if (to - from >= QuietSeconds * filter.SampleRateHz) noise = Rms(values.AsSpan(from, to - from));
        at = Crest(envelope, Math.Max(FirstRatio * highest, Math.Min(NoiseRatio * noise, highest)));
        return new(first + at, noise == 0 ? double.PositiveInfinity : Decibels.FromAmplitude(envelope[at] / noise), noise);
    }

    private static int Crest(double[] envelope, double threshold)
    {
        var at = 0;
        while (envelope[at] < threshold) at++;
        while (at + 1 < envelope.Length && envelope[at + 1] > envelope[at]) at++;
        return at;
    }

    private static double Rms(ReadOnlySpan<Complex> values)
    {
        var sum = 0.0;
        foreach (var value in values) sum += value.Real * value.Real;
        return Math.Sqrt(sum / values.Length);
    }
}
