// SPDX-License-Identifier: MIT
using Sweepbook.Microphones;

namespace Sweepbook.Studies;

/// <content>The microphone beside a reference that took the same place.</content>
public sealed partial class MicrophoneResult
{
    private IReadOnlyList<PlaceComparison>? _places;

    /// <summary>The comparisons with the survey's reference microphone, one for each place that both took, near and far, in the order of the study; empty where the survey marks no reference.</summary>
    /// <remarks>Places at which the two cannot be compared are left out; a finding says why. Worked out when first asked for. Source: <see cref="MicrophoneComparison"/>.</remarks>
    public IReadOnlyList<MicrophoneComparison> Comparisons => [.. Places.Select(place => place.Comparison).OfType<MicrophoneComparison>()];

    /// <summary>The same with what was found at each place, those that cannot be compared included.</summary>
    internal IReadOnlyList<PlaceComparison> Places => LazyInitializer.EnsureInitialized(ref _places, () =>
        Study.Survey.Microphones.FirstOrDefault(microphone => microphone.IsReference) is { } reference && reference.Id != Id
            ? ComparisonStudy.Places(this, Study.Microphone(reference.Id), Study.Survey.MatchFromHz, Study.Survey.MatchToHz)
            : []);

    /// <summary>This microphone against another one that took the same place: <c>study.Microphone("pocket").ComparedWith("reference")</c>.</summary>
    /// <param name="reference">Id of the microphone to judge by; it need not be marked as the reference.</param>
    /// <param name="source">Id of the source, or any.</param>
    /// <param name="seat">Id of the seat, or any.</param>
    /// <param name="setting">Id of the setting, or any.</param>
    /// <param name="matchFromHz">Lower end of the middle band in hertz; that of the survey where null.</param>
    /// <param name="matchToHz">Upper end of the middle band in hertz; that of the survey where null.</param>
    /// <returns>Of the places that fit, the one at which the widest band may be believed with both.</returns>
    /// <exception cref="ArgumentException">
    /// It is the microphone itself, or not in the survey; the two have no place in common, or heard different stimuli or drives there; no band may be believed with both; the middle band may not.
    /// </exception>
    /// <exception cref="ArgumentOutOfRangeException">The middle band is outside its interval.</exception>
    /// <remarks>Misleads as <see cref="MicrophoneComparison"/> says, also for the source.</remarks>
    public MicrophoneComparison ComparedWith(string reference, string? source = null, string? seat = null, string? setting = null, double? matchFromHz = null, double? matchToHz = null)
    {
        var other = Study.Microphone(reference);
        if (other.Id == Id) throw new ArgumentException($"\"{Id}\" would be compared with itself; name another microphone as the reference.", nameof(reference));
        var places = ComparisonStudy.Places(this, other, matchFromHz ?? Study.Survey.MatchFromHz, matchToHz ?? Study.Survey.MatchToHz)
            .Where(place => (source is null || place.Tested.Source == source) && (seat is null || place.Tested.Seat == seat) && (setting is null || place.Tested.Setting == setting)).ToList();
        if (ComparisonStudy.Widest(places) is { } widest) return widest.Comparison!;
        throw new ArgumentException(places.Count > 0 ? $"At {places[0].Words}: {places[0].WhyNot}" : ComparisonStudy.NoPlace(this, other, source, seat, setting), nameof(reference));
    }
}
