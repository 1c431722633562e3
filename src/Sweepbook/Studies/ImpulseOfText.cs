// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Numerics;
using Sweepbook.Files;
using Sweepbook.Quantities;
using Sweepbook.Transforms;

namespace Sweepbook.Studies;

/// <summary>The impulse response behind a response that is given as text with phase: the inverse transform on an even grid.</summary>
/// <param name="Samples">Linear; the sum over n of h[n] · e^(−jω(n − <paramref name="ZeroSamples"/>)/rate) is the response.</param>
/// <param name="SampleRateHz">Sample rate in hertz.</param>
/// <param name="ZeroSamples">Where the moment lies that the phase counts from, in samples.</param>
/// <remarks>
/// Levels are read on straight lines over log frequency, phases on straight lines over frequency. Beyond the rows the response fades within a sixth of an octave, so
/// what lies there is silence and not a measurement. Misleads where the rows are far apart: a response holds no more time than the inverse of the distance of its
/// rows, and what is later appears early. Source: A. V. Oppenheim and R. W. Schafer, "Discrete-Time Signal Processing", 3rd ed. 2010, section 8.4 (sampling the spectrum).
/// </remarks>
internal sealed record ImpulseOfText(double[] Samples, int SampleRateHz, double ZeroSamples)
{
    private const double FadeOctaves = 1 / 6.0;
    private const double BeforePart = 0.2;          // of the time, for what the band limits ring before the sound
    private const double ShortestSeconds = 0.02, LongestSeconds = 5;
    private const double EdgeOfRate = 0.45;
    private static readonly int[] _rates = [48_000, 96_000, 192_000, 384_000, 768_000];

    /// <summary>Makes it.</summary>
    /// <param name="rows">Rows with phase.</param>
    /// <exception cref="DataFault">No phase, a phase that cannot be followed, or rows too far apart to hold anything.</exception>
    internal static ImpulseOfText Of(ResponseRows rows)
    {
        if (!rows.HasPhase)
            throw new DataFault(rows.File, null, "it has levels but no phase, and levels alone are no impulse response", "Save it again with phase in degrees as third column. To compare its levels in a notebook, read it with ResponseText.Read; a phase made of levels (minimum phase) would be an assumption, not a measurement.");
        if (rows.Unfollowed is { } step)
            throw new DataFault(rows.File, null, ResponseText.PhaseStep(step), "Save it with rows closer together, or take the delay out first and state it with --time-zero-s.");
        var longest = 1 / rows.FinestStepHz;
        if (longest < ShortestSeconds)
            throw new DataFault(rows.File, null, string.Create(CultureInfo.InvariantCulture, $"its rows are {rows.FinestStepHz:0.#} Hz apart at the closest, so it holds no more than {1000 * longest:0.#} ms"), "Save it with rows closer together: at least one every 50 Hz.");
        var rate = _rates.FirstOrDefault(rate => rows.HighestFrequencyHz <= EdgeOfRate * rate, _rates[^1]);
        var length = FourierTransform.NextFastLength(2 * (int)Math.Ceiling(rate * Math.Min(longest, LongestSeconds) / 2));
        while (length % 2 != 0) length = FourierTransform.NextFastLength(length + 1);
        var zero = (int)(BeforePart * length);
        var bins = new Complex[length / 2 + 1];
        for (var k = 1; k < bins.Length - 1; k++)
        {
            var frequency = (double)k * rate / length;
            var weight = Fade(Math.Log2(rows.LowestHz / frequency)) * Fade(Math.Log2(frequency / rows.HighestFrequencyHz));
            if (weight == 0) continue;
            var phase = rows.PhaseDegreesAt(frequency) * Math.PI / 180 - 2 * Math.PI * k * (double)zero / length;
            bins[k] = Complex.FromPolarCoordinates(weight * Decibels.ToAmplitudeRatio(rows.LevelDbAt(frequency)), phase);
        }
        return new(FourierTransform.ToReal(bins, length), rate, zero);
    }

    /// <summary>1 inside the rows, 0 from a sixth of an octave beyond them on, a half cosine between.</summary>
    private static double Fade(double octavesBeyond) => octavesBeyond <= 0 ? 1 : octavesBeyond >= FadeOctaves ? 0 : 0.5 * (1 + Math.Cos(Math.PI * octavesBeyond / FadeOctaves));
}
