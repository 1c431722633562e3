// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Microphones;

/// <summary>Where the readings of one microphone may be off by no more than a job allows, with the reason at each end, and whose limit that is.</summary>
/// <remarks>
/// At each frequency: the known error (a significant deviation from a reference at the same spot) plus the interval that covers 95 % of what the microphone's calibration, data sheet or
/// comparison and the repeatability of its best take leave open. Three limits are told apart: the microphone's own, which no other take moves; that of the measurement (nobody played there, or
/// noise, window or scatter hide it), which is no fault of the microphone; and where nothing is known about it.
/// A calibration serves in its frequencies, the data sheet with its tolerance as limits in the rest of its own. A significant deviation from the reference refutes both; where there is none, the
/// comparison stands in for them, wherever it is the closer one. Misleads where the microphone has changed since its calibration and no reference took part, where the reference itself is wrong, and in
/// levels as such: comparisons are matched in the middle, so the range is about the shape. Source: JCGM 100:2008 (GUM), 4.3.7, 5.1.2 and 6.2 (from memory); how limits
/// and normal parts are joined is derived beside the code; that a known error is added as it stands is an own choice on the safe side.
/// </remarks>
public sealed class MicrophoneRange
{
    /// <summary>
    /// ± decibels that a job allows where nothing else is said. Own choice: what data sheets of measurement microphones promise (common practice, no source), and about the
    /// step that a bass equaliser or a change of place is worth making for.
    /// </summary>
    public const double UsualWithinDb = 2;

    private readonly RangeEvidence _evidence;
    private readonly MicrophoneKnowledge[] _known;   // at each frequency
    private readonly RangeLimit[] _limits;

    internal MicrophoneRange(RangeEvidence evidence, double withinDb = UsualWithinDb)
    {
        if (!(withinDb > 0 && double.IsFinite(withinDb))) throw new ArgumentOutOfRangeException(nameof(withinDb), withinDb, "Must be in (0, ∞) dB.");
        (_evidence, WithinDb) = (evidence, withinDb);
        var count = evidence.Grid.Count;
        if (evidence.RepeatabilityDb.Length != count || evidence.Shown.Count != count) throw new ArgumentException($"The evidence does not stand on the {count} frequencies of its grid.", nameof(evidence));
        _known = [.. Enumerable.Range(0, count).Select(k => MicrophoneKnowledge.At(evidence, k))];
        var reasons = new Reason[count];
        _limits = new RangeLimit[count];
        for (var k = 0; k < count; k++) (_limits[k], reasons[k]) = Judged(k);
        Mask = new(evidence.Grid.FrequenciesHz, reasons);
        Band = Snapped(Mask.LongestBand());
    }

    /// <summary>The microphone.</summary>
    public string Microphone => _evidence.Microphone;

    /// <summary>± decibels that the readings may be off.</summary>
    public double WithinDb { get; }

    /// <summary>The frequencies that were judged, 96 to the octave.</summary>
    public LogGrid Grid => _evidence.Grid;

    /// <summary>Where the readings serve, and why not where they do not.</summary>
    public TrustMask Mask { get; }

    /// <summary>The longest stretch in which they serve; a limit that is stated as a frequency ends it there.</summary>
    public TrustedBand Band { get; }

    /// <summary>Lower end in hertz; NaN where the readings serve nowhere.</summary>
    public double FromHz => Band.FromHz;

    /// <summary>Upper end in hertz; NaN where the readings serve nowhere.</summary>
    public double ToHz => Band.ToHz;

    /// <summary>Why it does not go lower, in words.</summary>
    public string LowReason => Band.LowReason.Sentence ?? "";

    /// <summary>Why it does not go higher, in words.</summary>
    public string HighReason => Band.HighReason.Sentence ?? "";

    /// <summary>The range as a person says it: where the readings can be believed, and what ends it on either side.</summary>
    public string Sentence => RangeWords.Of(this) + RangeWords.Age(_evidence.Stated) + ".";

    /// <summary>The same without the age of the calibration, of which a finding of its own speaks.</summary>
    internal string SentenceWithoutAge => RangeWords.Of(this) + ".";

    /// <summary>How old the calibration was, in years; NaN where nobody says.</summary>
    internal double CalibrationYears => _evidence.Stated.CalibrationYears;

    /// <summary>By how much readings may be off at each frequency of <see cref="Grid"/>, everything together: known error plus interval, ± decibels; NaN where nothing is known or shown.</summary>
    public double[] OffDb() => [.. _known.Select((known, k) => known.IsKnown ? known.OffDb(_evidence.RepeatabilityDb[k]) : double.NaN)];

    /// <summary>The microphone's own part of it, ± decibels, 95 %; NaN where nothing is known.</summary>
    public double[] MicrophoneDb() => [.. _known.Select(known => known.HalfWidthDb)];

    /// <summary>The repeatability of its best take, ± decibels, 95 %; NaN where nothing was shown.</summary>
    public double[] RepeatabilityDb() => [.. _evidence.RepeatabilityDb];

    /// <summary>The known error, decibels with sign: the deviation from the reference where it is significant; 0 where none is known.</summary>
    public double[] KnownErrorDb() => [.. _known.Select(known => known.ErrorDb)];

    /// <summary>The same evidence judged by another measure.</summary>
    /// <param name="withinDb">± decibels that the readings may be off, in (0, ∞).</param>
    /// <exception cref="ArgumentOutOfRangeException">It is zero, negative, infinite or NaN.</exception>
    /// <remarks>As the type, also for the source.</remarks>
    public MicrophoneRange Within(double withinDb) => new(_evidence, withinDb);

    /// <summary>Whether the readings serve a wanted range.</summary>
    /// <param name="fromHz">Its lower end in hertz, in [1, 100000].</param>
    /// <param name="toHz">Its upper end in hertz, in [<paramref name="fromHz"/>, 100000].</param>
    /// <returns>Yes; no, where the microphone itself ends inside it; or not shown, where only the measurement or the knowledge of the microphone ends: with what to do.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An end is outside its interval.</exception>
    /// <remarks>Gaps of up to a sixth of an octave, a line of hum for instance, do not count against it. Misleads as the type does, also for the source.</remarks>
    public RangeVerdict Serves(double fromHz, double toHz)
    {
        var (lowest, highest) = (LowestHz, HighestHz);
        if (!(fromHz >= lowest && fromHz <= highest)) throw new ArgumentOutOfRangeException(nameof(fromHz), fromHz, FormattableString.Invariant($"Must be in [{lowest:0}, {highest:0}] Hz."));
        if (!(toHz >= fromHz && toHz <= highest)) throw new ArgumentOutOfRangeException(nameof(toHz), toHz, FormattableString.Invariant($"Must be in [{fromHz}, {highest:0}] Hz."));
        return RangeWords.Verdict(this, fromHz, toHz);
    }

    /// <summary>Whether the readings serve at one frequency.</summary>
    /// <param name="frequencyHz">Frequency in hertz, in [1, 100000].</param>
    /// <exception cref="ArgumentOutOfRangeException">It is outside.</exception>
    /// <remarks>As <see cref="Serves"/>, at the nearest frequency of <see cref="Grid"/>, gaps included.</remarks>
    public RangeVerdict At(double frequencyHz) => Serves(frequencyHz, frequencyHz);

    internal const double LowestHz = 1, HighestHz = 100_000;

    internal RangeLimit LimitAt(int k) => _limits[k];

    internal RangeLimit LowLimit => EndLimit(-1);

    internal RangeLimit HighLimit => EndLimit(+1);

    private RangeLimit EndLimit(int side)
    {
        var inside = Enumerable.Range(0, _limits.Length).Where(k => _limits[k] == RangeLimit.None && Band.Contains(Grid[k])).ToList();
        if (inside.Count == 0) return RangeLimit.None;
        var beyond = side < 0 ? inside[0] - 1 : inside[^1] + 1;
        return beyond < 0 || beyond >= _limits.Length ? RangeLimit.None : _limits[beyond];
    }

    private (RangeLimit Limit, Reason Reason) Judged(int k)
    {
        const double Slack = 1e-9;   // ± 2 dB by sum or by root is ± 2 dB
        var known = _known[k];
        if (!known.IsKnown) return (known.Limit, new(Doubt.Microphone, known.Words));
        if (known.OffDb(0) > WithinDb + Slack) return (known.Limit, new(known.Limit == RangeLimit.Measurement ? Doubt.Repeats : Doubt.Microphone, known.Words));
        if (!_evidence.Shown[k]) return (RangeLimit.Measurement, _evidence.Shown.ReasonAt(k));
        var repeatability = _evidence.RepeatabilityDb[k];
        return known.OffDb(repeatability) <= WithinDb + Slack ? (RangeLimit.None, Reason.None)
            : (RangeLimit.Measurement, new(Doubt.Repeats, string.Create(CultureInfo.InvariantCulture, $"readings are repeatable to ± {repeatability:0.0} dB only")));
    }

    /// <summary>An end that lies less than a grid step inside a stated one is that one.</summary>
    internal TrustedBand Snapped(TrustedBand band, params double[] more)
    {
        if (band.IsEmpty) return band;
        var step = Math.Pow(2, 1.0 / Grid.PointsPerOctave);
        var ends = _evidence.Stated.EndsHz.Concat(more).ToList();
        return band with
        {
            FromHz = ends.Where(hertz => hertz <= band.FromHz && hertz * step > band.FromHz).Append(band.FromHz).Min(),
            ToHz = ends.Where(hertz => hertz >= band.ToHz && hertz < band.ToHz * step).Append(band.ToHz).Max(),
        };
    }
}
