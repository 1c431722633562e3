// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Sweepbook.Quantities;

/// <summary>An octave or fractional-octave band: its exact base-ten frequencies and the nominal label that everybody says.</summary>
/// <param name="Index">Steps of 1/<paramref name="BandsPerOctave"/> octave from 1 kHz; 0 is the band centred on 1 kHz, or for an even number of bands the one above it.</param>
/// <param name="BandsPerOctave">1 for octaves, 3 for third octaves, or any other positive number; 0 only in the default, which is no band.</param>
/// <remarks>
/// Results are computed at the exact frequency and named by the label: the 63 Hz band is centred on 63.0957 Hz.
/// Source: IEC 61260-1:2014, 5.2–5.4 (G = 10^(3/10)) and Annex E.3 (labels of finer bands); labels ISO 266:1997 (fact sheet 1.1–1.3, 1.9 and 3).
/// </remarks>
public readonly record struct FrequencyBand(int Index, int BandsPerOctave)
{
    private static readonly double[] PreferredDecade = [1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8];

    /// <summary>The octave ratio of the base-ten system, 10^(3/10) = 1.99526…</summary>
    public static double OctaveRatio { get; } = Math.Pow(10, 0.3);

    /// <summary>Exact mid-band frequency in hertz: 1000 · G^(x/b), for an even number b of bands per octave 1000 · G^((2x+1)/(2b)).</summary>
    public double CentreHz => 1000 * Math.Pow(10, BandsPerOctave % 2 == 0 ? 0.15 * (2 * Index + 1) / BandsPerOctave : 0.3 * Index / BandsPerOctave);

    /// <summary>Lower band edge in hertz.</summary>
    public double LowerHz => CentreHz * Math.Pow(10, -0.15 / BandsPerOctave);

    /// <summary>Upper band edge in hertz.</summary>
    public double UpperHz => CentreHz * Math.Pow(10, 0.15 / BandsPerOctave);

    /// <summary>The nominal frequency in hertz: that of ISO 266 for octaves and third octaves, for example 63 or 1250, else the rounded centre; NaN for the default.</summary>
    public double NominalHz
    {
        get
        {
            if (BandsPerOctave is not (1 or 3)) return RoundedCentreHz;
            var tenth = Index * 3 / BandsPerOctave;
            var decade = (int)Math.Floor(tenth / 10.0);
            return Math.Round(1000 * PreferredDecade[tenth - 10 * decade] * Math.Pow(10, decade), 6);
        }
    }

    /// <summary>The nominal frequency as text, invariant culture: "31.5", "63", "1250"; empty for the default.</summary>
    public string Label => double.IsNaN(NominalHz) ? "" : NominalHz.ToString("0.####", CultureInfo.InvariantCulture);

    /// <summary>Annex E.3: three figures where the first is 1 to 4, two where it is 5 to 9.</summary>
    private double RoundedCentreHz
    {
        get
        {
            if (BandsPerOctave <= 0) return double.NaN;
            var decade = Math.Pow(10, Math.Floor(Math.Log10(CentreHz)));
            var unit = CentreHz / decade < 5 ? decade / 100 : decade / 10;
            return Math.Round(Math.Round(CentreHz / unit) * unit, 6);
        }
    }

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
    /// <param name="frequencyHz">Frequency in hertz, in (0, ∞).</param>
    /// <exception cref="ArgumentOutOfRangeException">Zero, negative, infinite or NaN.</exception>
    public static FrequencyBand ThirdOctaveAt(double frequencyHz) => frequencyHz > 0 && double.IsFinite(frequencyHz)
        ? new((int)Math.Round(10 * Math.Log10(frequencyHz / 1000)), 3)
        : throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, "Must be in (0, ∞) Hz.");

    private static IReadOnlyList<FrequencyBand> Between(double fromHz, double toHz, int bandsPerOctave)
    {
        if (!(fromHz > 0 && double.IsFinite(fromHz)))
            throw new ArgumentOutOfRangeException(nameof(fromHz), fromHz, "Must be in (0, ∞) Hz.");
        if (!(toHz >= fromHz && double.IsFinite(toHz)))
            throw new ArgumentOutOfRangeException(nameof(toHz), toHz, FormattableString.Invariant($"Must be in [{fromHz}, ∞) Hz."));
        var step = 3.0 / bandsPerOctave;   // tenths of a decade per band
        var first = (int)Math.Floor(10 * Math.Log10(fromHz / 1000) / step) - 1;
        var last = (int)Math.Ceiling(10 * Math.Log10(toHz / 1000) / step) + 1;
        const double LabelSlack = 1e-6;
        return [.. Enumerable.Range(first, last - first + 1)
            .Select(index => new FrequencyBand(index, bandsPerOctave))
            .Where(band => band.NominalHz >= fromHz * (1 - LabelSlack) && band.NominalHz <= toHz * (1 + LabelSlack))];
    }
}
