// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Transforms;

namespace Sweepbook.Microphones;

/// <summary>What sounds beside a steady tone: harmonics, mains hum, and the rest.</summary>
/// <remarks>
/// From the mean of overlapping spectra under a Blackman window, whose side lobes are 76 dB down six bins away: a signal-to-noise ratio beyond some 75 dB reads
/// as that. Source: P. D. Welch, IEEE Trans. Audio Electroacoust. 15 (1967) 70–73, for the mean of spectra; the sorting is an own definition.
/// </remarks>
internal readonly record struct ToneCompany(double SnrDb, double HumDb, double HumHz, double HarmonicsPercent)
{
    private const int LobeBins = 3, ClearBins = 6, LastHarmonic = 5, LastHumLine = 10;
    private const double StandsOutRatio = 4;   // own choice: 6 dB above its neighbours

    internal static ToneCompany Of(ReadOnlySpan<double> samples, int sampleRateHz, int length, double toneHz)
    {
        var powers = MeanPowers(samples, length);
        var binHz = (double)sampleRateHz / length;
        var taken = new bool[powers.Length];   // bins that belong to the tone, a harmonic or hum
        for (var k = 0; k < LobeBins; k++) taken[k] = true;
        var tone = Take(powers, taken, toneHz / binHz, ClearBins);
        var harmonics = 0.0;
        for (var n = 2; n <= LastHarmonic && n * toneHz / binHz < powers.Length - 1; n++) harmonics += Take(powers, taken, n * toneHz / binHz, ClearBins);
        var (humHz, hum) = (double.NaN, 0.0);
        foreach (var mainsHz in new[] { 50.0, 60.0 })
        {
            var sum = 0.0;
            for (var n = 1; n <= LastHumLine; n++) sum += Line(powers, taken, n * mainsHz / binHz);
            if (sum > hum) (humHz, hum) = (mainsHz, sum);
        }
        for (var n = 1; n <= LastHumLine && hum > 0; n++) Take(powers, taken, n * humHz / binHz, LobeBins);
        var rest = 0.0;
        for (var k = 0; k < powers.Length; k++) rest += taken[k] ? 0 : powers[k];
        return new(rest > 0 ? Decibels.FromPower(tone / rest) : double.PositiveInfinity, Decibels.FromPower(hum / tone), humHz, 100 * Math.Sqrt(harmonics / tone));
    }

    private static double[] MeanPowers(ReadOnlySpan<double> samples, int length)
    {
        var window = Window.BlackmanPeriodic(length);
        var powers = new double[length / 2 + 1];
        var mean = 0.0;
        foreach (var sample in samples) mean += sample / samples.Length;
        var tapered = new double[length];
        for (var first = 0; first + length <= samples.Length; first += length / 2)
        {
            for (var n = 0; n < length; n++) tapered[n] = (samples[first + n] - mean) * window[n];
            var bins = FourierTransform.OfReal(tapered, length);
            for (var k = 0; k < powers.Length; k++) powers[k] += bins[k].Real * bins[k].Real + bins[k].Imaginary * bins[k].Imaginary;
        }
        return powers;
    }

    /// <summary>Power round a line that nothing has taken yet; its bins are then taken.</summary>
    private static double Take(double[] powers, bool[] taken, double atBins, int reach)
    {
        var (sum, centre) = (0.0, (int)Math.Round(atBins));
        for (var k = Math.Max(0, centre - reach); k <= Math.Min(centre + reach, powers.Length - 1); k++)
            if (!taken[k]) (sum, taken[k]) = (sum + powers[k], true);
        return sum;
    }

    /// <summary>Power of a line less that of its neighbours; nothing where it does not stand out of them or where the tone is.</summary>
    private static double Line(double[] powers, bool[] taken, double atBins)
    {
        var centre = (int)Math.Round(atBins);
        var (line, beside, bins, besides) = (0.0, 0.0, 0, 0);
        for (var k = centre - ClearBins; k <= centre + ClearBins; k++)
        {
            if (k < 0 || k >= powers.Length || taken[k]) continue;
            if (Math.Abs(k - centre) <= LobeBins) (line, bins) = (line + powers[k], bins + 1);
            else (beside, besides) = (beside + powers[k], besides + 1);
        }
        if (bins < 2 * LobeBins + 1 || besides == 0) return 0;
        var floor = beside / besides * bins;
        return line > StandsOutRatio * floor ? line - floor : 0;
    }
}
