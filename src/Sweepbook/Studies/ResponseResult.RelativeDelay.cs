// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;

namespace Sweepbook.Studies;

public sealed partial class ResponseResult
{
    /// <summary>By how much this response is later than another one of the same time group, and whether one of them is reversed, from the phase between them.</summary>
    /// <param name="reference">The response that it is compared with, usually another source at the same seat.</param>
    /// <returns>The delay, fitted in the band in which both phases may be believed, each frequency weighted by its noise.</returns>
    /// <exception cref="ArgumentException">There is no such delay: other time groups, other sample rates, no common band. The message says why and what to do.</exception>
    /// <remarks>For what misleads see <see cref="RelativeDelay"/>, which is its source.</remarks>
    public RelativeDelay DelayAfter(ResponseResult reference)
    {
        ArgumentNullException.ThrowIfNull(reference);
        if (WhyNoDelayAfter(reference) is { } why) throw new ArgumentException(why, nameof(reference));
        var (fromHz, toHz) = CommonPhaseBand(reference);
        var rate = ImpulseResponse.SampleRateHz;
        var windowSeconds = Math.Min(Window.EnergySamples(rate), reference.Window.EnergySamples(rate)) / rate;
        return RelativeDelay.Between(ImpulseResponse, reference.ImpulseResponse, fromHz, toHz, CrossPhase.VarianceOf(Response, reference.Response), windowSeconds);
    }

    /// <summary>Why there is no delay against another response, in sentences; null where there is.</summary>
    internal string? WhyNoDelayAfter(ResponseResult reference)
    {
        if (ImpulseResponse.TimeGroup.WhyNotWith(reference.ImpulseResponse.TimeGroup, Source, reference.Source) is { } why) return why;
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
