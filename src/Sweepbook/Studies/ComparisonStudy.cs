// SPDX-License-Identifier: MIT
using Sweepbook.Microphones;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Two microphones at one place: what comparing them gave, or why they cannot be compared.</summary>
internal sealed record PlaceComparison(ResponseResult Tested, ResponseResult Reference, MicrophoneComparison? Comparison, string WhyNot)
{
    internal string Words => ComparisonStudy.PlaceInWords(Tested.Takes[0]);
}

/// <summary>Finds the places that two microphones took one after the other, and compares them there.</summary>
/// <remarks>
/// A place is source, setting, seat, field, distance and angle. What else tells two responses apart (gain, channel, kind of time zero) moves no level or is matched away; another stimulus or
/// drive may not be compared. Each repeat is judged on its own: in the mean of repeats between which a microphone was set up again the high frequencies cancel.
/// </remarks>
internal static class ComparisonStudy
{
    internal static IReadOnlyList<PlaceComparison> Places(MicrophoneResult tested, MicrophoneResult reference, double matchFromHz, double matchToHz)
    {
        var places = new List<PlaceComparison>();
        foreach (var one in tested.Responses)
        {
            var there = reference.Responses.Where(other => PlaceOf(other.Takes[0]) == PlaceOf(one.Takes[0])).ToList();
            if (there.Count == 0) continue;
            var other = there.FirstOrDefault(result => WhyNot(one, result) is null) ?? there[0];
            if (WhyNot(one, other) is { } why)
            {
                places.Add(new(one, other, null, why));
                continue;
            }
            try
            {
                places.Add(new(one, other, Compare(one, other), ""));
            }
            catch (ArgumentException refused) when (refused is not ArgumentOutOfRangeException)
            {
                places.Add(new(one, other, null, WithoutParameter(refused)));
            }
        }
        return places;

        MicrophoneComparison Compare(ResponseResult one, ResponseResult other)
        {
            var judged = other.Response;
            var stated = reference.Stated;
            var file = stated.Calibrations.OrderBy(calibration => Math.Abs(calibration.AngleDeg ?? 0)).FirstOrDefault();
            return MicrophoneComparison.Between(tested.Id, one.Singles(), reference.Id, other.Singles(), matchFromHz, matchToHz,
                PlaceInWords(one.Takes[0]), new(one.CorrectionDbAt, k => judged[k].Uncertainty.MicrophoneDb, file?.File, stated.CalibratedOn, tested.Study.Survey.Date));
        }
    }

    /// <summary>The place at which the widest band may be believed with both; null where they can be compared nowhere.</summary>
    internal static PlaceComparison? Widest(IEnumerable<PlaceComparison> places) =>
        places.Where(place => place.Comparison is not null).OrderByDescending(place => place.Comparison!.Band.ToHz / place.Comparison.Band.FromHz).FirstOrDefault();

    internal static string NoPlace(MicrophoneResult tested, MicrophoneResult reference, string? source, string? seat, string? setting)
    {
        string[] asked = [.. new[] { source is null ? null : $"the source \"{source}\"", seat is null ? null : $"the seat \"{seat}\"", setting is null ? null : $"the setting \"{setting}\"" }.OfType<string>()];
        return $"\"{tested.Id}\" and \"{reference.Id}\" took no place in common{(asked.Length == 0 ? "" : $" with {StudyFindings.Listed(asked)}")}: {Took(tested)}; {Took(reference)}. Compare microphones at the same place with the same source, one after the other.";

        static string Took(MicrophoneResult microphone) => microphone.Responses.Count == 0 ? $"{microphone.Id} has no response"
            : $"{microphone.Id} took {StudyFindings.Listed(microphone.Responses.Select(result => PlaceInWords(result.Takes[0])).Distinct().Take(4))}";
    }

    /// <summary>"sub at sofa", "main at 1 m in the free field, 0°".</summary>
    internal static string PlaceInWords(Take take)
    {
        var distance = take.DistanceMm is not { } mm ? "" : mm >= 1000 ? FormattableString.Invariant($" at {mm / 1000:0.###} m") : FormattableString.Invariant($" at {mm:0.#} mm");
        var field = take.Field switch { SoundField.Near => " in the near field", SoundField.Free => " in the free field", _ => "" };
        var angle = take.AngleDeg is { } degrees ? FormattableString.Invariant($", {degrees:0.#}°") : "";
        var setting = take.Setting == Setting.AsFoundId ? "" : $", {take.Setting}";
        return $"{take.SourceName}{(take.Seat.Length > 0 ? $" at {take.Seat}" : "")}{distance}{field}{angle}{setting}";
    }

    private static (string, string, string, SoundField, double?, double?, bool) PlaceOf(Take take) =>
        (take.SourceName, take.Setting, take.Seat, take.Field, take.DistanceMm, take.AngleDeg, take.IsImpulse);

    private static string? WhyNot(ResponseResult tested, ResponseResult reference)
    {
        var (one, other) = (tested.Takes[0], reference.Takes[0]);
        if (one.Stimulus != other.Stimulus)
            return $"\"{one.Microphone}\" heard the stimulus \"{one.Stimulus}\" and \"{other.Microphone}\" heard \"{other.Stimulus}\"; a source may answer differently to each. Record both with one stimulus.";
        if (one.DriveDb != other.DriveDb)
            return FormattableString.Invariant($"the source was driven at {Drive(one)} for \"{one.Microphone}\" and at {Drive(other)} for \"{other.Microphone}\"; it may change its tone with its level. Record both at one drive.");
        return null;

        static string Drive(Take take) => take.DriveDb is { } db ? FormattableString.Invariant($"{db:0.#} dB") : "a drive that is not stated";
    }

    private static string WithoutParameter(ArgumentException refused) =>
        refused.ParamName is { } name && refused.Message.LastIndexOf($" (Parameter '{name}')", StringComparison.Ordinal) is var at and > 0 ? refused.Message[..at] : refused.Message;
}
