// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;

namespace Sweepbook.Microphones;

/// <summary>One microphone against another by substitution: the same source and place, one after the other.</summary>
/// <remarks>
/// Each repeat is first matched: the mean of its third-octave levels over a middle band, each weighted by the cells used, is taken off it, so that sensitivity, gain and a change of
/// loudness between takes cancel. The deviation of a band is the mean of its matched levels with the tested microphone less that with the reference. A band's level is the mean
/// power of those of its grid cells in which every repeat of both may be believed, the noise taken off; at least two thirds of the band must be such cells (own choice: the 16 kHz octave then
/// counts to 17.8 kHz). Levels of bands and not of single frequencies, because a microphone that stands a centimetre off hears other dips and the same bands.
/// Misleads where the reference itself is wrong: its error appears as the other's, reversed; where the source changed its tone between the takes; and where a microphone of another
/// shape turns to the source at another angle: at high frequencies that counts as part of the microphone. A tilt of the tested microphone inside the middle band ends up in the other bands as half of itself.
/// Source: substitution is the method of IEC 61094-5 and IEC 61094-8 (their titles from memory); matching, bands and shares are own definitions.
/// </remarks>
public sealed partial class MicrophoneComparison
{
    /// <summary>Where microphones are matched unless somebody says otherwise. Common practice, no source: neither end of a microphone reaches into it.</summary>
    internal const double UsualMatchFromHz = 300, UsualMatchToHz = 3000;

    /// <summary>A deviation smaller than this is never called significant, however well it repeats: own choice, calibration files are no finer.</summary>
    internal const double SmallestDb = 0.1;

    private const int NamedTopOctaves = 2;
    private readonly ComparedLevels _levels;

    private MicrophoneComparison(string tested, string reference, ComparedLevels levels, double matchFromHz, double matchToHz, string place, ComparisonFacts facts)
    {
        (Place, Facts) = (place, facts);
        (Tested, Reference, _levels, MatchFromHz, MatchToHz) = (tested, reference, levels, matchFromHz, matchToHz);
        Band = levels.Trust.LongestBand();
        OffsetDb = levels.MatchDb(levels.Tested) - levels.MatchDb(levels.Reference);
        var scatter = new PlacementScatter(levels);
        (ThirdOctaves, Octaves) = (scatter.Deviations(levels.ThirdOctaves), scatter.Deviations(levels.Octaves));
        RepeatsOfReference = levels.Reference.Count;
    }

    /// <summary>Id of the microphone that is judged.</summary>
    public string Tested { get; }

    /// <summary>Id of the microphone that it is judged by.</summary>
    public string Reference { get; }

    /// <summary>Where both stood, in words; empty where nobody said.</summary>
    public string Place { get; }

    /// <summary>By how many decibels the tested microphone reads more over the middle band: sensitivity and gain, taken off everything else.</summary>
    public double OffsetDb { get; }

    /// <summary>Lower end of the middle band in hertz.</summary>
    public double MatchFromHz { get; }

    /// <summary>Upper end of the middle band in hertz.</summary>
    public double MatchToHz { get; }

    /// <summary>The longest stretch in which every repeat of both may be believed.</summary>
    public TrustedBand Band { get; }

    /// <summary>How many times the reference was read: its repeats tell what setting up a microphone again does.</summary>
    public int RepeatsOfReference { get; }

    /// <summary>True where only noise is known, because the reference was read once: nothing is then called significant.</summary>
    public bool IsNoiseOnly => RepeatsOfReference < 2;

    /// <summary>Every octave of the common frequencies, rising; those that cannot be told say why.</summary>
    public IReadOnlyList<BandDeviation> Octaves { get; }

    /// <summary>Every third octave of the common frequencies, rising; those that cannot be told say why.</summary>
    public IReadOnlyList<BandDeviation> ThirdOctaves { get; }

    /// <summary>The lowest octave in which both may be believed: there and in the top two microphones part company (common practice, no source). Without a number where there is none.</summary>
    public BandDeviation BottomOctave => Octaves.FirstOrDefault(band => band.IsGiven, Nothing);

    /// <summary>The two highest octaves in which both may be believed, rising; fewer where there are fewer.</summary>
    public IReadOnlyList<BandDeviation> TopOctaves => [.. Octaves.Where(band => band.IsGiven).TakeLast(NamedTopOctaves)];

    /// <summary>The third octave of a range in which the two are farthest apart.</summary>
    /// <param name="fromHz">Nominal frequency of the first third octave, in (0, ∞) hertz.</param>
    /// <param name="toHz">Nominal frequency of the last one, in [<paramref name="fromHz"/>, ∞) hertz.</param>
    /// <returns>The largest in magnitude of those that are given; without a number, and with the reason, where none is.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A limit is outside its interval.</exception>
    /// <remarks>Misleads where parts of the range are not given: ask <see cref="Covers"/>. Own definition.</remarks>
    public BandDeviation LargestDeviation(double fromHz, double toHz)
    {
        var wanted = FrequencyBand.ThirdOctaves(fromHz, toHz);
        return ThirdOctaves.Where(band => band.IsGiven && wanted.Contains(band.Band)).OrderByDescending(band => Math.Abs(band.DeviationDb)).ThenBy(band => band.Band.Index)
            .FirstOrDefault(Nothing with { Reason = "no third octave of the range may be believed with both microphones" });
    }

    /// <summary>True where every third octave of a range has a number.</summary>
    /// <param name="fromHz">Nominal frequency of the first third octave, in (0, ∞) hertz.</param>
    /// <param name="toHz">Nominal frequency of the last one, in [<paramref name="fromHz"/>, ∞) hertz.</param>
    /// <exception cref="ArgumentOutOfRangeException">A limit is outside its interval.</exception>
    /// <remarks>A lookup; it cannot mislead and needs no source.</remarks>
    public bool Covers(double fromHz, double toHz)
    {
        var given = ThirdOctaves.Where(band => band.IsGiven).Select(band => band.Band).ToHashSet();
        return FrequencyBand.ThirdOctaves(fromHz, toHz) is { Count: > 0 } wanted && wanted.All(given.Contains);
    }

    /// <summary>Compares two microphones from their readings.</summary>
    /// <param name="tested">Id of the microphone that is judged.</param>
    /// <param name="testedRepeats">One response for each time it was read, as it is used, its calibration applied; at least one.</param>
    /// <param name="reference">Id of the microphone that it is judged by.</param>
    /// <param name="referenceRepeats">The same of the reference; with two or more, between which it was moved away and set up again, the deviations get their repeatability.</param>
    /// <param name="matchFromHz">Lower end of the middle band, in (0, ∞) hertz.</param>
    /// <param name="matchToHz">Upper end of the middle band in hertz, at least a third of an octave above the lower one.</param>
    /// <returns>The comparison.</returns>
    /// <exception cref="ArgumentException">
    /// One is compared with itself; a reading is missing; the frequency grids differ; no frequency may be believed with both; less than two thirds of the middle band may.
    /// </exception>
    /// <exception cref="ArgumentOutOfRangeException">The middle band is outside its interval.</exception>
    /// <remarks>
    /// The levels may have different references (loopback, stimulus): a constant is matched away. Means of repeats are no single readings: their high frequencies cancel where the
    /// microphone was moved in between. For what else misleads, and the source, see the class.
    /// </remarks>
    internal static MicrophoneComparison Between(
        string tested, IReadOnlyList<Response> testedRepeats, string reference, IReadOnlyList<Response> referenceRepeats, double matchFromHz = UsualMatchFromHz, double matchToHz = UsualMatchToHz) =>
        Between(tested, testedRepeats, reference, referenceRepeats, matchFromHz, matchToHz, "", ComparisonFacts.None);

    /// <summary>The same, knowing where it was and what else is known.</summary>
    internal static MicrophoneComparison Between(
        string tested, IReadOnlyList<Response> testedRepeats, string reference, IReadOnlyList<Response> referenceRepeats, double matchFromHz, double matchToHz, string place, ComparisonFacts facts)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(tested);
        ArgumentException.ThrowIfNullOrWhiteSpace(reference);
        if (tested == reference)
            throw new ArgumentException($"\"{tested}\" would be compared with itself; name another microphone as the reference.", nameof(reference));
        var levels = new ComparedLevels(tested, testedRepeats, reference, referenceRepeats, matchFromHz, matchToHz);
        return new(tested, reference, levels, matchFromHz, matchToHz, place, facts);
    }

    private BandDeviation Nothing => new(default, double.NaN, double.NaN, false, $"no octave may be believed with both {Tested} and {Reference}");
}
