// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;

namespace Sweepbook.Studies;

public sealed partial class ResponseResult
{
    private const double WholeBelowDegrees = 10;   // own choice: a room between two sources leaves 30° to 100°, two pure delays none
    private const double WholeOctaves = 1.5;       // own choice: in less, the phase of a room can be a straight line by chance

    /// <summary>Whether it is a subwoofer in a room, and the longest delay that the survey leaves possible.</summary>
    internal DelayBounds Placed { get; init; } = new(false, true, double.PositiveInfinity);

    /// <summary>By how much this response is later than another one of the same time group, and whether one of them is reversed, from the phase between them.</summary>
    /// <param name="reference">The response that it is compared with, usually another source at the same seat.</param>
    /// <returns>
    /// The delay in the band in which both phases may be believed: of the whole responses where these differ by hardly more than a delay; else, of two subwoofers, of their first swings, before
    /// the room has built up.
    /// </returns>
    /// <exception cref="ArgumentException">No delay can be believed: other time groups or sample rates, no common band, or a room that shapes the two differently. The message says why and what to do.</exception>
    /// <remarks>For what misleads see <see cref="RelativeDelay"/>, which is its source.</remarks>
    public RelativeDelay DelayAfter(ResponseResult reference)
    {
        ArgumentNullException.ThrowIfNull(reference);
        var (delay, why, _) = DelayOrReason(reference);
        return delay ?? throw new ArgumentException(why, nameof(reference));
    }

    /// <summary>The delay, or why there is none that can be believed, in sentences; and what it, or a line through the whole phase, leaves of the phase in degrees.</summary>
    internal (RelativeDelay? Delay, string? WhyNot, double ResidualDegrees) DelayOrReason(ResponseResult reference)
    {
        if (WhyNotComparable(reference) is { } incomparable) return (null, incomparable, double.NaN);
        var (fromHz, toHz) = CommonPhaseBand(reference);
        var rate = ImpulseResponse.SampleRateHz;
        var windowSeconds = Math.Min(Window.EnergySamples(rate), reference.Window.EnergySamples(rate)) / rate;
        var variance = CrossPhase.VarianceOf(Response, reference.Response);
        var whole = RelativeDelay.Between(ImpulseResponse, reference.ImpulseResponse, fromHz, toHz, variance, windowSeconds);
        var isPlain = whole.FitDegrees <= WholeBelowDegrees && (!Placed.IsInRoom || Math.Log2(toHz / fromHz) >= WholeOctaves);
        var (delay, why) = isPlain ? (whole, null) : OfEarlyPart(reference, Math.Max(EarlyDelay.LowestHz, fromHz), Math.Min(EarlyDelay.HighestHz, toHz), variance, whole.FitDegrees);
        if (delay is not { } found) return (null, why, whole.FitDegrees);
        var longest = Math.Min(Placed.LongestSeconds, reference.Placed.LongestSeconds);
        return Math.Abs(found.Seconds) <= longest + found.UncertaintySeconds
            ? (found, null, found.FitDegrees)
            : (null, FormattableString.Invariant($"The phase says {found.Seconds * 1000:0.0} ms, but the room's diagonal and the processor's longest delay leave {longest * 1000:0.0} ms at most. Check the room's size, or look at the sum of the two."), whole.FitDegrees);
    }

    private (RelativeDelay? Delay, string? WhyNot) OfEarlyPart(ResponseResult reference, double fromHz, double toHz, Func<double, double> variance, double leftDegrees)
    {
        var left = FormattableString.Invariant($"{leftDegrees:0}° of phase left");
        if (Placed.IsSubwoofer != reference.Placed.IsSubwoofer)
            return (null, $"A subwoofer and a loudspeaker turn the phase differently, and so does the room ({left}), so no single delay describes the two; look at their sum round the crossover.");
        if (!Placed.IsSubwoofer)
            return (null, $"The room shapes the two differently at this seat ({left}), so no single delay describes it; compare the arrivals in takes.csv, or look at their sum.");
        const string Advice = "look at their sum, or measure each at 1 m";
        if (!(toHz > fromHz) || Math.Log2(toHz / fromHz) < EarlyDelay.LeastOctaves)
            return (null, FormattableString.Invariant($"The room shapes the two differently at this seat ({left}), and from {EarlyDelay.LowestHz:0} to {EarlyDelay.HighestHz:0} Hz both phases may be believed over less than {EarlyDelay.LeastOctaves} octaves, too little to tell their first swings apart; {Advice}."));
        var (delay, doubt) = EarlyDelay.Of(ImpulseResponse, reference.ImpulseResponse, fromHz, toHz, variance);
        return (delay, doubt switch
        {
            EarlyDoubt.None => null,
            EarlyDoubt.Onset => $"The room shapes the two differently at this seat ({left}), and the direct sound of one of them is too weak to tell when it begins, so no single delay describes it; {Advice}.",
            EarlyDoubt.Polarity => $"The room shapes the two differently at this seat ({left}), and their first swings fit either polarity, so no single delay describes it; {Advice}.",
            EarlyDoubt.Spread => $"The room shapes the two differently at this seat ({left}), and the delay of their first swings depends on how many are looked at, so no single delay describes it; {Advice}.",
            _ => $"The room shapes the two differently at this seat from their first swings on ({left}), so no single delay describes it; {Advice}.",
        });
    }

    /// <summary>Why the two cannot be compared in time, in sentences; null where they can.</summary>
    private string? WhyNotComparable(ResponseResult reference)
    {
        if (ImpulseResponse.TimeGroup.WhyNotWith(reference.ImpulseResponse.TimeGroup, Source, reference.Source) is { } why) return why;
        if (Microphone != reference.Microphone)
            return $"{Microphone} heard {Source} and {reference.Microphone} heard {reference.Source}, and each microphone has a phase of its own. Measure both with one microphone.";
        if (ImpulseResponse.SampleRateHz != reference.ImpulseResponse.SampleRateHz)
            return $"{Source} was recorded at {ImpulseResponse.SampleRateHz} Hz and {reference.Source} at {reference.ImpulseResponse.SampleRateHz} Hz. Measure both at one sample rate.";
        foreach (var result in new[] { this, reference })
            if (result.PhaseBand.IsEmpty) return $"The phase of {result.Source} may be believed nowhere ({result.PhaseBand.LowReason.Sentence}). Record it louder or with less noise.";
        var (fromHz, toHz) = CommonPhaseBand(reference);
        return fromHz < toHz
            ? RelativeDelay.WhyTooNarrow(fromHz, toHz)
            : $"The phase of {Source} may be believed from {PhaseBand.Words}, that of {reference.Source} from {reference.PhaseBand.Words}: they have no frequency in common. Compare sources whose bands overlap.";
    }

    private (double FromHz, double ToHz) CommonPhaseBand(ResponseResult reference)
    {
        const double HighestPart = 0.49;   // of the sample rate: a recorded impulse response may be trusted up to half of it
        return (Math.Max(PhaseBand.FromHz, reference.PhaseBand.FromHz), Math.Min(HighestPart * ImpulseResponse.SampleRateHz, Math.Min(PhaseBand.ToHz, reference.PhaseBand.ToHz)));
    }
}
