// SPDX-License-Identifier: MIT
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class StudyLookupTests
{
    [Fact]
    public void A_response_is_found_by_source_and_seat_and_a_missing_one_says_which_there_are()
    {
        using var folder = new SmallSurvey();
        folder.Add("sofa.wav", [(200, 0.25)]);
        folder.Add("chair.wav", [(300, 0.2)], seat: "chair");
        var study = Study.Of(folder.Read());
        Assert.Same(study.Responses[1], study.Response("main", "chair"));
        Assert.Same(study.Responses[0], study.Response("main", "sofa", Setting.AsFoundId));
        Assert.Contains("it has: main at sofa, main at chair.", Assert.Throws<ArgumentException>(() => study.Response("main", "roof")).Message);
        Assert.Contains("in the setting \"corrected\"; it has: main at sofa in the setting as-found", Assert.Throws<ArgumentException>(() => study.Response("main", "sofa", "corrected")).Message);
    }
}
