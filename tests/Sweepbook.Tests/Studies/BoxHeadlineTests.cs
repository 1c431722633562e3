// SPDX-License-Identifier: MIT
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>What a survey of a box, without any take in a room, says first.</summary>
public sealed class BoxHeadlineTests
{
    [Fact]
    public void Where_no_take_heard_a_room_the_first_screen_is_about_the_box_and_nothing_about_seats_and_modes()
    {
        var survey = Survey.Read(HouseRules.Repository.Path("tests", "reference", "nearfield-takes"));
        var study = Study.Of(survey, [.. survey.Takes.Where(take => !take.SourceName.EndsWith('2'))]);
        Assert.Contains("inside these limits every response can be trusted", study.Findings[0].Sentence, StringComparison.Ordinal);
        Assert.Equal("nearfield", study.Findings[2].Id);
        Assert.Matches(@"^box-1 is tuned to 3[45]\.\d Hz; it is known without the room from [\d.]+ to \d+ Hz, and joined to its free-field response up to .+\.$", study.Findings[2].Sentence);
        Assert.DoesNotContain(study.Findings, finding => finding.Id is "room-modes" or "seat-in-node" or "source-in-node" or "seat-difference");
        Assert.Equal(study.Findings, [.. study.Findings.Take(Study.Headlines), .. study.RecordingFindings, .. study.NearFieldFindings, .. study.RoomFindings]);
        Assert.Contains(study.NearFieldFindings, finding => finding.Id == "nearfield-joint");
        Assert.DoesNotContain(study.RecordingFindings, finding => finding.Id.StartsWith("nearfield-", StringComparison.Ordinal) && finding.Severity == Severity.Note);
    }
}
