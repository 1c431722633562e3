// SPDX-License-Identifier: MIT
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Compares the sources of each seat, setting and microphone in time: each with the first subwoofer of the survey, or with the first source where none played.</summary>
/// <remarks>Sources that played together, and takes close to a cone or outdoors, are left out; a source measured at several drives counts by its first take. Source: own definition.</remarks>
internal static class DelayStudy
{
    internal static IReadOnlyList<SourceDelay> Of(Survey survey, IReadOnlyList<ResponseResult> responses)
    {
        var delays = new List<SourceDelay>();
        foreach (var place in responses.Where(result => result.Takes[0].Sources.Count == 1 && result.Takes[0].Field == SoundField.Room)
            .GroupBy(result => (result.Setting, result.Seat, result.Microphone)))
        {
            var sources = place.DistinctBy(result => result.Source).ToList();
            var reference = sources.OrderBy(result => IsSubwoofer(survey, result.Source) ? 0 : 1).ThenBy(result => Order(survey, result.Source)).First();
            foreach (var result in sources.Where(result => result != reference))
            {
                var (delay, why, residual) = result.DelayOrReason(reference);
                delays.Add(new(result.Source, reference.Source, result.Setting, result.Seat, result.Microphone, delay, why) { ResidualDegrees = residual });
            }
        }
        return delays;
    }

    internal static bool IsSubwoofer(Survey survey, string source) => survey.Source(source).Kind == SourceKind.Subwoofer;

    private static int Order(Survey survey, string source)
    {
        for (var n = 0; n < survey.Sources.Count; n++)
            if (survey.Sources[n].Id == source) return n;
        return survey.Sources.Count;
    }
}
