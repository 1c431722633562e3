// SPDX-License-Identifier: MIT
using Sweepbook.Microphones;

namespace Sweepbook.Studies;

public sealed partial class MicrophoneResult
{
    private MicrophoneRange? _range;

    /// <summary>The band in which its readings may be off by no more than the survey's <c>[wanted] within_db</c> allows (± 2 dB where nothing is said), with the reason at each end.</summary>
    /// <remarks>Computed once, from every response that it took. <c>Range.Within(1)</c> judges by another measure. For what misleads and the source see <see cref="MicrophoneRange"/>.</remarks>
    public MicrophoneRange Range => LazyInitializer.EnsureInitialized(ref _range, () => MicrophoneRangeStudy.Of(this));

    /// <summary>The verdict on the range that the survey wants; null where it states none.</summary>
    /// <remarks>As <see cref="MicrophoneRange.Serves"/>, also for the source.</remarks>
    public RangeVerdict? Wanted => Study.Survey is { WantedFromHz: { } fromHz, WantedToHz: { } toHz } ? Range.Serves(fromHz, toHz) : null;
}
