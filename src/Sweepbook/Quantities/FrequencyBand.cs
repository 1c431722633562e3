// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Sweepbook.Quantities;

/// <summary>An octave or fractional-octave band: its exact base-ten frequencies and the nominal label that everybody says.</summary>
/// <param name="Index">Steps of 1/<paramref name="BandsPerOctave"/> octave from 1 kHz; 0 is the 1 kHz band.</param>
/// <param name="BandsPerOctave">1 for octaves, 3 for third octaves; odd numbers only here.</param>
/// <remarks>
/// Results are computed at the exact frequency and named by the label: the 63 Hz band is centred on 63.0957 Hz.
/// Source: IEC 61260-1:2014, 5.2–5.4 (G = 10^(3/10)); labels ISO 266:1997 (fact sheet 1.1–1.3 and 3).
/// </remarks>
public readonly record struct FrequencyBand(int Index, int BandsPerOctave)
{
    private static readonly double[] PreferredDecade = [1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8];

    /// <summary>The octave ratio of the base-ten system, 10^(3/10) = 1.99526…</summary>
    public static double OctaveRatio { get; } = Math.Pow(10, 0.3);

    /// <summary>Exact mid-band frequency in hertz.</summary>
    public double CentreHz => 1000 * Math.Pow(10, 0.3 * Index / BandsPerOctave);

    /// <summary>Lower band edge in hertz.</summary>
    public double LowerHz => CentreHz * Math.Pow(10, -0.15 / BandsPerOctave);

    /// <summary>Upper band edge in hertz.</summary>
    public double UpperHz => CentreHz * Math.Pow(10, 0.15 / BandsPerOctave);

    /// <summary>The nominal frequency of ISO 266 in hertz, for example 63 or 1250.</summary>
    public double NominalHz
    {
        get
        {
            var tenth = Index * 3 / BandsPerOctave;
            var decade = (int)Math.Floor(tenth / 10.0);
            return Math.Round(1000 * PreferredDecade[tenth - 10 * decade] * Math.Pow(10, decade), 6);
        }
    }

    /// <summary>The nominal frequency as text, invariant culture: "31.5", "63", "1250".</summary>
    public string Label => NominalHz.ToString("0.####", CultureInfo.InvariantCulture);

    /// <summary>All octave bands whose nominal frequency lies between the two given ones, both included.</summary>
    /// <param name="fromHz">Nominal frequency of the first band, in hertz.</param>
    /// <param name="toHz">Nominal frequency of the last band, in hertz.</param>
    /// <returns>Rising order; empty when no octave lies between.</returns>
    public static IReadOnlyList<FrequencyBand> Octaves(double fromHz, double toHz) => Between(fromHz, toHz, 1);

    /// <summary>All third-octave bands whose nominal frequency lies between the two given ones, both included.</summary>
    /// <param name="fromHz">Nominal frequency of the first band, in hertz.</param>
    /// <param name="toHz">Nominal frequency of the last band, in hertz.</param>
    /// <returns>Rising order; empty when no third octave lies between.</returns>
    public static IReadOnlyList<FrequencyBand> ThirdOctaves(double fromHz, double toHz) => Between(fromHz, toHz, 3);

    /// <summary>The third-octave band that contains <paramref name="frequencyHz"/>.</summary>
    /// <param name="frequencyHz">Frequency in hertz, above zero.</param>
    public static FrequencyBand ThirdOctaveAt(double frequencyHz) => new((int)Math.Round(10 * Math.Log10(frequencyHz / 1000)), 3);

    private static IReadOnlyList<FrequencyBand> Between(double fromHz, double toHz, int bandsPerOctave)
    {
        if (!(fromHz > 0 && double.IsFinite(fromHz)))
            throw new ArgumentOutOfRangeException(nameof(fromHz), fromHz, "Must be in (0, ∞) Hz.");
        if (!(toHz >= fromHz && double.IsFinite(toHz)))
            throw new ArgumentOutOfRangeException(nameof(toHz), toHz, $"Must be in [{fromHz}, ∞) Hz.");
        var step = 10 / (bandsPerOctave == 1 ? 10.0 / 3 : 10);   // tenths of a decade per band
        var first = (int)Math.Floor(10 * Math.Log10(fromHz / 1000) / step) - 1;
        var last = (int)Math.Ceiling(10 * Math.Log10(toHz / 1000) / step) + 1;
        const double LabelSlack = 1e-6;
        return [.. Enumerable.Range(first, last - first + 1)
            .Select(index => new FrequencyBand(index, bandsPerOctave))
            .Where(band => band.NominalHz >= fromHz * (1 - LabelSlack) && band.NominalHz <= toHz * (1 + LabelSlack))];
    }
}
