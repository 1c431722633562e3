// SPDX-License-Identifier: MIT
namespace Sweepbook.Spectra;

/// <summary>One row of a table of widths: so many octaves at this frequency.</summary>
/// <param name="FrequencyHz">Frequency in hertz, in (0, ∞).</param>
/// <param name="WidthOctaves">Width of the smoothing there in octaves, in (0, 10].</param>
public readonly record struct SmoothingWidth(double FrequencyHz, double WidthOctaves);

/// <summary>How wide a smoothing is at each frequency: a table with its source, straight lines over log frequency between the rows, held beyond them.</summary>
public sealed class SmoothingWidths
{
    private const int NarrowestFraction = 48;
    private readonly SmoothingWidth[] _rows;

    private SmoothingWidths(SmoothingWidth[] rows, string source) => (_rows, Source) = (rows, source);

    /// <summary>The same share of an octave everywhere: 1/<paramref name="denominator"/>.</summary>
    /// <param name="denominator">1 (a whole octave) to 48.</param>
    /// <returns>A table of one row.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Outside [1, 48].</exception>
    /// <remarks>The share is a matter of taste; the report of a smoothed curve says it. It needs no source.</remarks>
    public static SmoothingWidths Fraction(int denominator) => denominator is >= 1 and <= NarrowestFraction
        ? new([new(1, 1.0 / denominator)], $"1/{denominator} octave")
        : throw new ArgumentOutOfRangeException(nameof(denominator), denominator, $"Must be in [1, {NarrowestFraction}].");

    /// <summary>A table of one's own.</summary>
    /// <param name="rows">One or more rows; frequencies in (0, ∞) Hz and rising, widths in (0, 10] octaves.</param>
    /// <param name="source">Where the table comes from: author, title, year; or "own choice" and why. Not empty.</param>
    /// <returns>The widths, rows copied.</returns>
    /// <exception cref="ArgumentException">There is no row, one is out of range or does not rise, or no source is given.</exception>
    /// <remarks>A width that jumps within a few bins draws a step into the smoothed curve that is not in the data.</remarks>
    public static SmoothingWidths OfTable(ReadOnlySpan<SmoothingWidth> rows, string source)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(source);
        if (rows.IsEmpty) throw new ArgumentException("Got 0 rows; must be 1 or more.", nameof(rows));
        for (var k = 0; k < rows.Length; k++)
        {
            var (frequencyHz, widthOctaves) = rows[k];
            var belowHz = k == 0 ? 0 : rows[k - 1].FrequencyHz;
            if (!(frequencyHz > belowHz && double.IsFinite(frequencyHz)))
                throw new ArgumentException($"The frequency of row {k} is {frequencyHz} Hz; must be in ({belowHz}, ∞) Hz.", nameof(rows));
            if (!(widthOctaves > 0 && widthOctaves <= 10))
                throw new ArgumentException($"The width of row {k} is {widthOctaves} octaves; must be in (0, 10].", nameof(rows));
        }
        return new(rows.ToArray(), source);
    }

    /// <summary>1/24 octave up to 200 Hz, from there rising to 1/3 octave at 2 kHz and above.</summary>
    /// <remarks>
    /// Own choice: at the bottom a living room's modes stand apart, some 1/10 octave and more, and a wider mean would hide them;
    /// at the top reflections lie so close together that only their mean repeats from one seat to its neighbour.
    /// A large hall has crowded modes already below 200 Hz.
    /// </remarks>
    public static SmoothingWidths ModesThenBands { get; } = OfTable([new(200, 1 / 24.0), new(2000, 1 / 3.0)],
        "own choice: single modes below 200 Hz, dense reflections above 2 kHz");

    /// <summary>As wide as a band of the hearing, E = 24.7 Hz · (1 + 4.37 · f / kHz), from 100 Hz (½ octave) to 10 kHz (1/6 octave).</summary>
    /// <remarks>
    /// A band of E round f in geometric proportion is 2 · asinh(E / 2f) / ln 2 octaves wide. Held below 100 Hz, where the formula is an extrapolation
    /// and modes would vanish: no guide for bass. Source: B. R. Glasberg, B. C. J. Moore, "Derivation of auditory filter shapes from notched-noise data",
    /// Hearing Research 47 (1990) 103–138, eq. 3.
    /// </remarks>
    public static SmoothingWidths BandsOfHearing { get; } = OfTable([.. Enumerable.Range(0, 21).Select(k => Hearing(100 * Math.Pow(10, k / 10.0)))],
        "equivalent rectangular bandwidth, B. R. Glasberg and B. C. J. Moore, Hearing Research 47 (1990) 103–138, eq. 3");

    /// <summary>Where the table comes from.</summary>
    public string Source { get; }

    /// <summary>The rows, rising in frequency.</summary>
    public IReadOnlyList<SmoothingWidth> Rows => _rows.AsReadOnly();

    /// <summary>The width at a frequency, in octaves.</summary>
    /// <param name="frequencyHz">Frequency in hertz, in [0, ∞).</param>
    /// <returns>A straight line over log frequency between two rows; the first or last width beyond them.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Negative, infinite or NaN.</exception>
    /// <remarks>Neither misleads nor needs a source: it reads the table.</remarks>
    public double OctavesAt(double frequencyHz) => frequencyHz >= 0 && double.IsFinite(frequencyHz)
        ? At(frequencyHz)
        : throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, "Must be in [0, ∞) Hz.");

    /// <summary>Any width that <see cref="Smoothing"/> accepts, the same everywhere.</summary>
    internal static SmoothingWidths Constant(double widthOctaves) => widthOctaves > 0 && widthOctaves <= 10
        ? new([new(1, widthOctaves)], "constant")
        : throw new ArgumentOutOfRangeException(nameof(widthOctaves), widthOctaves, "Must be in (0, 10] octaves.");

    internal bool IsConstant => _rows.Length == 1;

    private double At(double frequencyHz)
    {
        var next = 0;
        while (next < _rows.Length && _rows[next].FrequencyHz <= frequencyHz) next++;
        if (next == 0) return _rows[0].WidthOctaves;
        if (next == _rows.Length) return _rows[^1].WidthOctaves;
        var (low, high) = (_rows[next - 1], _rows[next]);
        var part = Math.Log(frequencyHz / low.FrequencyHz) / Math.Log(high.FrequencyHz / low.FrequencyHz);
        return low.WidthOctaves + part * (high.WidthOctaves - low.WidthOctaves);
    }

    private static SmoothingWidth Hearing(double frequencyHz) =>
        new(frequencyHz, 2 * Math.Asinh(24.7 * (1 + 4.37 * frequencyHz / 1000) / (2 * frequencyHz)) / Math.Log(2));
}
