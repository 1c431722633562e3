// SPDX-License-Identifier: MIT
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>What a survey says of a response that bears on its delay.</summary>
/// <param name="IsSubwoofer">One source played, and it is a subwoofer.</param>
/// <param name="IsInRoom">The room is in it.</param>
/// <param name="LongestSeconds">The longest delay between two sources that the survey leaves possible: the room's diagonal and the longest delay of its processor; infinite where neither room is stated.</param>
internal readonly record struct DelayBounds(bool IsSubwoofer, bool IsInRoom, double LongestSeconds)
{
    private const double UsualLongestMs = 50;   // own choice, where the survey has no processor: an amplifier may delay by itself

    internal static DelayBounds Of(StudyContext context, Take take)
    {
        var survey = context.Survey;
        var longest = survey.Room is { } room
            ? Math.Sqrt(room.LengthMetres * room.LengthMetres + room.WidthMetres * room.WidthMetres + room.HeightMetres * room.HeightMetres) / context.SpeedOfSoundMetresPerSecond
                + (survey.Processor?.DelayMaxMs ?? UsualLongestMs) / 1000
            : double.PositiveInfinity;
        return new(take.Sources.Count == 1 && survey.Source(take.Sources[0]).Kind == SourceKind.Subwoofer, take.Field == SoundField.Room, longest);
    }
}
