// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Sweepbook.Trust;

/// <summary>Why a bin may not be believed. The order is the order in which reasons are named where several hold.</summary>
public enum Doubt
{
    /// <summary>No doubt.</summary>
    None,

    /// <summary>The stimulus had too little energy there.</summary>
    Excitation,

    /// <summary>The loopback channel is too noisy there.</summary>
    Loopback,

    /// <summary>Repeats of one take disagree there by more than their noise explains.</summary>
    Repeats,

    /// <summary>The measurement noise is too close.</summary>
    Noise,

    /// <summary>A line of mains hum is too close.</summary>
    Hum,

    /// <summary>The time window is too short for that frequency, or cut off too much of the decay.</summary>
    Window,

    /// <summary>A reflection comes too soon for a gate that resolves that frequency.</summary>
    Reflection,

    /// <summary>Outside what the microphone is known to do.</summary>
    Microphone,

    /// <summary>Too close to the end of the sweep or to half the sample rate.</summary>
    UpperEnd,

    /// <summary>The recording is damaged there.</summary>
    Recording,

    /// <summary>What was measured depends on how loud it was played.</summary>
    LevelDependent,

    /// <summary>The time zero is not known, or not well enough for phase.</summary>
    TimeZero,

    /// <summary>What was measured close by no longer tells what arrives far away.</summary>
    NearField,
}

/// <summary>One limit: a doubt, the frequencies it covers, and the sentence that says why.</summary>
/// <param name="Doubt">The kind of doubt.</param>
/// <param name="Sentence">Why, in words with numbers: "noise 9 dB below the signal (15 dB wanted)". Without doubt it is a remark on something believed.</param>
public readonly record struct Reason(Doubt Doubt, string Sentence)
{
    /// <summary>No reason: believed.</summary>
    public static Reason None => default;

    /// <summary>Believed, but with something to know about it: "shape not calibrated, ± 2 dB".</summary>
    /// <param name="sentence">What there is to know.</param>
    public static Reason Remark(string sentence) => new(Doubt.None, sentence);
}

/// <summary>The longest stretch of frequencies that may be believed, with the reason at each end.</summary>
/// <param name="FromHz">Lower end in hertz; NaN where nothing is trusted.</param>
/// <param name="ToHz">Upper end in hertz; NaN where nothing is trusted.</param>
/// <param name="LowReason">Why it does not go lower.</param>
/// <param name="HighReason">Why it does not go higher.</param>
public readonly record struct TrustedBand(double FromHz, double ToHz, Reason LowReason, Reason HighReason)
{
    /// <summary>True where nothing at all is trusted, as in the default.</summary>
    public bool IsEmpty => !(FromHz <= ToHz && ToHz > 0);

    /// <summary>True where <paramref name="frequencyHz"/> lies inside, ends included.</summary>
    /// <param name="frequencyHz">Frequency in hertz.</param>
    public bool Contains(double frequencyHz) => !IsEmpty && frequencyHz >= FromHz && frequencyHz <= ToHz;

    /// <summary>Its ends as a person says them, three digits each: "11 to 190 Hz", "41.2 Hz to 19.7 kHz"; "50 Hz" where both ends read alike, "nothing" where it is empty.</summary>
    public string Words => (IsEmpty, FromHz < 1000, ToHz < 1000) switch
    {
        (true, _, _) => "nothing",
        (_, true, true) when Rounded(FromHz) == Rounded(ToHz) => $"{Rounded(FromHz)} Hz",
        (_, false, false) when Rounded(FromHz / 1000) == Rounded(ToHz / 1000) => $"{Rounded(FromHz / 1000)} kHz",
        (_, true, true) => $"{Rounded(FromHz)} to {Rounded(ToHz)} Hz",
        (_, false, false) => $"{Rounded(FromHz / 1000)} to {Rounded(ToHz / 1000)} kHz",
        _ => $"{Rounded(FromHz)} Hz to {Rounded(ToHz / 1000)} kHz",
    };

    private static string Rounded(double value) => value == 0
        ? "0"
        : Math.Round(value, Math.Clamp(2 - (int)Math.Floor(Math.Log10(value)), 0, 6)).ToString("0.######", CultureInfo.InvariantCulture);
}

/// <summary>Per frequency: believed or not, and if not, why. Masks are combined with <see cref="And"/>; the first doubt stays.</summary>
public sealed class TrustMask
{
    private readonly double[] _frequenciesHz;
    private readonly Reason[] _reasons;

    /// <summary>A mask from one reason per frequency; <see cref="Reason.None"/> means believed.</summary>
    /// <param name="frequenciesHz">Rising frequencies in hertz, in [0, ∞). Copied.</param>
    /// <param name="reasons">One reason per frequency. Copied.</param>
    /// <exception cref="ArgumentException">The lengths differ, a frequency is negative or NaN, or the frequencies do not rise.</exception>
    public TrustMask(ReadOnlySpan<double> frequenciesHz, ReadOnlySpan<Reason> reasons)
    {
        if (frequenciesHz.Length != reasons.Length)
            throw new ArgumentException($"Got {frequenciesHz.Length} frequencies and {reasons.Length} reasons; the numbers must be equal.", nameof(reasons));
        if (frequenciesHz.Length > 0 && !(frequenciesHz[0] >= 0))
            throw new ArgumentException($"Frequency 0 is {frequenciesHz[0]} Hz; must be in [0, ∞) Hz.", nameof(frequenciesHz));
        for (var k = 1; k < frequenciesHz.Length; k++)
            if (!(frequenciesHz[k] > frequenciesHz[k - 1]))
                throw new ArgumentException($"Frequency {k} ({frequenciesHz[k]} Hz) does not rise above the one before it.", nameof(frequenciesHz));
        (_frequenciesHz, _reasons) = (frequenciesHz.ToArray(), reasons.ToArray());
    }

    /// <summary>Number of frequencies.</summary>
    public int Count => _reasons.Length;

    /// <summary>True where bin <paramref name="k"/> is believed.</summary>
    public bool this[int k] => _reasons[k].Doubt == Doubt.None;

    /// <summary>Why bin <paramref name="k"/> is not believed; <see cref="Reason.None"/> where it is.</summary>
    public Reason ReasonAt(int k) => _reasons[k];

    /// <summary>Believed only where both are. Where both doubt, the reason that comes first in <see cref="Doubt"/> is kept; where neither does, both remarks are.</summary>
    /// <exception cref="ArgumentException">The masks stand on different frequencies.</exception>
    public TrustMask And(TrustMask other)
    {
        ArgumentNullException.ThrowIfNull(other);
        if (!_frequenciesHz.AsSpan().SequenceEqual(other._frequenciesHz))
            throw new ArgumentException("The masks stand on different frequencies; evaluate both on one grid first.", nameof(other));
        var reasons = new Reason[Count];
        for (var k = 0; k < Count; k++)
        {
            var (mine, theirs) = (_reasons[k], other._reasons[k]);
            reasons[k] = (mine.Doubt, theirs.Doubt) switch
            {
                (Doubt.None, Doubt.None) => Both(mine, theirs),
                (Doubt.None, _) => theirs,
                (_, Doubt.None) => mine,
                _ => mine.Doubt <= theirs.Doubt ? mine : theirs,
            };
        }
        return new(_frequenciesHz, reasons);
    }

    private static Reason Both(Reason one, Reason other) =>
        string.IsNullOrEmpty(one.Sentence) || one == other ? other : string.IsNullOrEmpty(other.Sentence) ? one : Reason.Remark($"{one.Sentence}; {other.Sentence}");

    /// <summary>The longest run of believed bins in octaves, bridging gaps of up to one sixth of an octave.</summary>
    /// <returns>Its ends with their reasons; <see cref="TrustedBand.IsEmpty"/> where nothing is believed.</returns>
    /// <remarks>
    /// A bridged gap stays doubtful bin by bin: see <see cref="Gaps"/>; its width is that from its first doubtful bin to its last.
    /// A bin at 0 Hz, infinitely many octaves below any other, adds no width. Source: own definition (design, "What may be believed").
    /// </remarks>
    public TrustedBand LongestBand()
    {
        var (bestFirst, bestLast, bestWidth) = (-1, -1, -1.0);
        for (var k = 0; k < Count; k++)
        {
            if (!this[k]) continue;
            var (first, last) = (k, k);
            while (NextBelieved(last) is var next && next >= 0 && IsBridge(last, next)) last = next;
            var width = Octaves(first, last);
            if (width > bestWidth) (bestFirst, bestLast, bestWidth) = (first, last, width);
            k = last;
        }
        return bestFirst < 0
            ? new(double.NaN, double.NaN, MostCommonReason(), MostCommonReason())
            : new(_frequenciesHz[bestFirst], _frequenciesHz[bestLast],
                bestFirst > 0 ? _reasons[bestFirst - 1] : GridEnd("lowest"),
                bestLast < Count - 1 ? _reasons[bestLast + 1] : GridEnd("highest"));
    }

    /// <summary>The doubtful stretches inside <see cref="LongestBand"/> that were bridged.</summary>
    /// <returns>One band per gap, its reason given twice.</returns>
    public IReadOnlyList<TrustedBand> Gaps()
    {
        var band = LongestBand();
        var gaps = new List<TrustedBand>();
        for (var k = 0; k < Count; k++)
        {
            if (this[k] || !band.Contains(_frequenciesHz[k])) continue;
            var first = k;
            while (k + 1 < Count && !this[k + 1] && band.Contains(_frequenciesHz[k + 1])) k++;
            gaps.Add(new(_frequenciesHz[first], _frequenciesHz[k], _reasons[first], _reasons[k]));
        }
        return gaps;
    }

    /// <summary>A sixth of an octave, and a hair: a gap of just that width counts whichever way its frequencies were rounded.</summary>
    private const double BridgedGapOctaves = 1 / 6.0 + 1e-9;

    private bool IsBridge(int last, int next) => next == last + 1 || Octaves(last + 1, next - 1) <= BridgedGapOctaves;

    private double Octaves(int first, int last)
    {
        if (_frequenciesHz[first] == 0 && first < last) first++;
        return first == last ? 0 : Math.Log2(_frequenciesHz[last] / _frequenciesHz[first]);
    }

    private int NextBelieved(int after)
    {
        for (var k = after + 1; k < Count; k++) if (this[k]) return k;
        return -1;
    }

    private static Reason GridEnd(string end) => new(Doubt.None, $"{end} frequency evaluated");

    private Reason MostCommonReason() => Count == 0
        ? Reason.None
        : _reasons.GroupBy(reason => reason.Doubt).OrderByDescending(group => group.Count()).ThenBy(group => group.Key).First().First();
}
