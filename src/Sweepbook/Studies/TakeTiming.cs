// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Impulses;
using Sweepbook.Stimuli;
using Sweepbook.Surveys;
using Sweepbook.Transforms;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>When a take's stimulus left, and how wrong its recorder's clock was: from the markers, or as the survey states it.</summary>
/// <param name="Clock">The clock error that is taken out; not known where nothing is.</param>
/// <param name="LateSeconds">How late the moment taken as time zero stands in the corrected recording, beside the stimulus; 0 without a marker.</param>
/// <param name="UncertaintySeconds">Standard deviation of that moment; NaN without a marker.</param>
/// <param name="Refusal">Why the markers give no time zero, and what to do; null where they do or are not asked.</param>
internal sealed record TakeTiming(ClockReading Clock, double LateSeconds, double UncertaintySeconds, string? Refusal)
{
    internal static TakeTiming Of(Take take, Stimulus stimulus, TakeReading reading, double speedOfSoundMetresPerSecond)
    {
        var stated = take.ClockPpm is { } ppm ? new ClockReading(ppm, StatedUncertaintyPpm, "as stated in survey.toml") : ClockReading.Unknown("");
        if (take.TimeZero != TimeZero.Marker) return new(stated, 0, double.NaN, null);
        if (!stimulus.HasMarker)
            throw new DataFault(take.File, null, $"time_zero is marker, but its stimulus \"{take.Stimulus}\" plays none", "Write a stimulus with --marker and record again, or set time_zero = \"unknown\" and compare levels only.");
        var timing = MarkerTiming.Find(stimulus, reading.Microphone, stated);
        return timing.IsUsable
            ? new(timing.Clock, timing.ArrivalSeconds - (take.MarkerDistanceMetres ?? 0) / speedOfSoundMetresPerSecond, timing.UncertaintySeconds, null)
            : new(ClockReading.Unknown(""), 0, double.NaN, timing.Sentence);
    }

    private const double StatedUncertaintyPpm = 20;   // what the sweep alone gives, which is where a stated one usually comes from

    /// <summary>The file's samples and those to analyse, equally long: the clock error is out of the latter.</summary>
    internal (TakeReading Raw, TakeReading Reading) Corrected(TakeReading raw, TakeReading reading)
    {
        if (!Clock.IsKnown) return (raw, reading);
        var corrected = Resampling.ByPpm(reading.Microphone, Clock.Ppm);
        var length = Math.Min(corrected.Length, raw.Microphone.Length);   // a few milliseconds at the end go: of the tail of a slow clock, or of the file's samples beside it
        return (raw with { Microphone = raw.Microphone[..length], Reference = raw.Reference?[..length] }, reading with { Microphone = corrected[..length], Reference = reading.Reference?[..length] });
    }

    /// <summary>Where samples of the file stand in the corrected recording.</summary>
    internal List<int> Placed(List<int> samples) => Clock.IsKnown ? [.. samples.Select(sample => (int)(sample / (1 + Clock.Ppm * 1e-6)))] : samples;

    /// <summary>The response on the time axis of this timing.</summary>
    internal ImpulseResponse Timed(ImpulseResponse whole, Take take)
    {
        var method = Clock.IsKnown ? FormattableString.Invariant($"{whole.Method}, recorder clock corrected by {Clock.Ppm:+0.0;−0.0;0.0} ppm") : whole.Method;
        return take.TimeZero == TimeZero.Marker
            ? whole.On(whole.TimeZeroSamples + LateSeconds * whole.SampleRateHz, TimeZero.Marker, take.TimeGroup, method)
            : whole.On(whole.TimeZeroSamples, whole.TimeZero, whole.TimeGroup, method);
    }
}
