// SPDX-License-Identifier: MIT
namespace Sweepbook.Studies;

public sealed partial class Study
{
    /// <summary>
    /// The responses that tell about source and room, in the order of the study: where several microphones took turns at one place, those of the reference alone, or of the first
    /// of them where the reference was not there. All of <see cref="Responses"/> where no place was taken by two microphones.
    /// </summary>
    /// <remarks>A place is source, setting, seat, field, distance and angle. Own convention; it needs no source.</remarks>
    public IReadOnlyList<ResponseResult> ResponsesOfOneMicrophone
    {
        get
        {
            var reference = Survey.Microphones.FirstOrDefault(microphone => microphone.IsReference)?.Id;
            var chosen = Responses.GroupBy(result => result.Place).ToDictionary(place => place.Key, place => place.Any(result => result.Microphone == reference) ? reference : place.First().Microphone);
            return [.. Responses.Where(result => result.Microphone == chosen[result.Place])];
        }
    }
}
