// SPDX-License-Identifier: MIT
namespace Sweepbook.Spectra;

/// <summary>How long a time window is at each frequency, from the arrival on: a table with its source, straight between its rows on two logarithmic axes, held beyond them.</summary>
/// <remarks>
/// The sister of <see cref="SmoothingWidths"/>: a window of T seconds blurs by about 1/T, so a short window at high and a long one at low frequencies lets through the sound that comes soon, at
/// every frequency with the detail that its length allows. Source of the method: M. Karjalainen and T. Paatero, "Frequency-dependent signal windowing", Proc. IEEE Workshop on Applications of
/// Signal Processing to Audio and Acoustics (2001) 35–38 (from memory); with equally many periods everywhere it is the transform of J. C. Brown, "Calculation of a constant Q spectral
/// transform", J. Acoust. Soc. Am. 89 (1991) 425–434.
/// </remarks>
public sealed class WindowLengths
{
    private const double LongestSeconds = 10;
    private const double MostPeriods = 1000;
    private readonly (double FrequencyHz, double Ms)[] _rows;
    private readonly double _periods = double.NaN;

    private WindowLengths((double FrequencyHz, double Ms)[] rows, double periods, string source) => (_rows, _periods, Source) = (rows, periods, source);

    /// <summary>Equally many periods at every frequency: length = <paramref name="count"/> / frequency.</summary>
    /// <param name="count">Periods, in [2, 1000]; with fewer than two a frequency cannot be told from its neighbours an octave away.</param>
    /// <returns>Lengths without a table; <see cref="Rows"/> is empty.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Outside its interval.</exception>
    /// <remarks>
    /// The same share of an octave is blurred everywhere, about 1.4 / count. Ten periods last half a second at 20 Hz, in which a room of a home has answered in full, and 1 ms at 10 kHz, which no
    /// wall reaches: what is compared across such a curve is not one thing. Source: J. C. Brown, J. Acoust. Soc. Am. 89 (1991) 425–434, where a component's window holds Q periods.
    /// </remarks>
    public static WindowLengths Periods(int count) => count is >= 2 and <= (int)MostPeriods
        ? new([], count, $"{count} periods at every frequency, after J. C. Brown, J. Acoust. Soc. Am. 89 (1991) 425–434")
        : throw new ArgumentOutOfRangeException(nameof(count), count, $"Must be in [2, {MostPeriods}] periods.");

    /// <summary>A table of one's own.</summary>
    /// <param name="rows">One or more rows of frequency in hertz, in (0, ∞) and rising, and window length in milliseconds, in (0, 10 000].</param>
    /// <param name="source">Where the table comes from: author, title, year; or "own choice" and why. Not empty.</param>
    /// <returns>The lengths, rows copied.</returns>
    /// <exception cref="ArgumentException">There is no row, one is out of range or does not rise, or no source is given.</exception>
    /// <remarks>Lengths that fall faster than the frequency rises hold fewer and fewer periods: below two the response is not trusted there.</remarks>
    public static WindowLengths OfTable(ReadOnlySpan<(double FrequencyHz, double Ms)> rows, string source)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(source);
        if (rows.IsEmpty) throw new ArgumentException("Got 0 rows; must be 1 or more.", nameof(rows));
        for (var k = 0; k < rows.Length; k++)
        {
            var (frequencyHz, ms) = rows[k];
            var belowHz = k == 0 ? 0 : rows[k - 1].FrequencyHz;
            if (!(frequencyHz > belowHz && double.IsFinite(frequencyHz)))
                throw new ArgumentException(FormattableString.Invariant($"The frequency of row {k} is {frequencyHz} Hz; must be in ({belowHz}, ∞) Hz."), nameof(rows));
            if (!(ms > 0 && ms <= LongestSeconds * 1000))
                throw new ArgumentException(FormattableString.Invariant($"The window of row {k} lasts {ms} ms; must be in (0, {LongestSeconds * 1000}] ms."), nameof(rows));
        }
        return new(rows.ToArray(), double.NaN, source);
    }

    /// <summary>One over the width of a band of the hearing, E = 24.7 Hz · (1 + 4.37 · f / kHz), from 100 Hz (28 ms) to 10 kHz (0.9 ms): no finer detail than the ear's filters resolve.</summary>
    /// <remarks>
    /// Such a filter needs about 1/E to answer. Below 100 Hz held, where 28 ms hold fewer than two periods below 71 Hz: no window for bass. Source: B. R. Glasberg, B. C. J. Moore,
    /// "Derivation of auditory filter shapes from notched-noise data", Hearing Research 47 (1990) 103–138, eq. 3; that a window of 1/E stands for the filter is an own choice.
    /// </remarks>
    public static WindowLengths BandsOfHearing { get; } = OfTable([.. Enumerable.Range(0, 21).Select(k => Hearing(100 * Math.Pow(10, k / 10.0)))],
        "one over the equivalent rectangular bandwidth, B. R. Glasberg and B. C. J. Moore, Hearing Research 47 (1990) 103–138, eq. 3");

    /// <summary>Where the table comes from.</summary>
    public string Source { get; }

    /// <summary>The rows, rising in frequency; none where the length is a number of periods.</summary>
    public IReadOnlyList<(double FrequencyHz, double Ms)> Rows => _rows.AsReadOnly();

    /// <summary>The length at a frequency, in seconds.</summary>
    /// <param name="frequencyHz">Frequency in hertz, in (0, ∞).</param>
    /// <returns>Between two rows straight in log length over log frequency; the first or last length beyond them. Never above 10 s.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Zero, negative, infinite or NaN.</exception>
    /// <remarks>Neither misleads nor needs a source: it reads the table.</remarks>
    public double SecondsAt(double frequencyHz)
    {
        if (!(frequencyHz > 0 && double.IsFinite(frequencyHz))) throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, "Must be in (0, ∞) Hz.");
        if (_rows.Length == 0) return Math.Min(LongestSeconds, _periods / frequencyHz);
        var next = 0;
        while (next < _rows.Length && _rows[next].FrequencyHz <= frequencyHz) next++;
        if (next == 0) return _rows[0].Ms / 1000;
        if (next == _rows.Length) return _rows[^1].Ms / 1000;
        var (low, high) = (_rows[next - 1], _rows[next]);
        return low.Ms / 1000 * Math.Pow(high.Ms / low.Ms, Math.Log(frequencyHz / low.FrequencyHz) / Math.Log(high.FrequencyHz / low.FrequencyHz));
    }

    private static (double FrequencyHz, double Ms) Hearing(double frequencyHz) => (frequencyHz, 1000 / (24.7 * (1 + 4.37 * frequencyHz / 1000)));
}
