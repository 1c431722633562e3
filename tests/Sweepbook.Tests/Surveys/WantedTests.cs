// SPDX-License-Identifier: MIT
using Xunit;

namespace Sweepbook.Tests.Surveys;

public sealed class WantedTests
{
    [Fact]
    public void A_survey_may_say_what_the_job_wants()
    {
        var survey = SurveyTexts.Read(SurveyTexts.Plain + "[wanted]\nfrom_hz = 5\nto_hz = 120.5\nwithin_db = 1.5\n");
        Assert.Equal((5, 120.5, 1.5), (survey.WantedFromHz, survey.WantedToHz, survey.WantedWithinDb));
        Assert.Equal((5, 120.5, 1.5), (survey.Only([]).WantedFromHz, survey.Only([]).WantedToHz, survey.Only([]).WantedWithinDb));
        var plain = SurveyTexts.Read(SurveyTexts.Plain);
        Assert.Equal((null, null, null), (plain.WantedFromHz, plain.WantedToHz, plain.WantedWithinDb));
    }

    [Theory]   // the table begins on line 20
    [InlineData("from_hz = 5", "survey.toml:20: [wanted] has no `to_hz`.")]
    [InlineData("to_hz = 5", "survey.toml:20: [wanted] has no `from_hz`.")]
    [InlineData("from_hz = 120\nto_hz = 5", "survey.toml:22: the wanted range ends at 5 Hz, which is not above its beginning at 120 Hz. Exchange the two.")]
    [InlineData("from_hz = 5\nto_hz = 5", "survey.toml:22: the wanted range ends at 5 Hz")]
    [InlineData("from_hz = 0\nto_hz = 5", "survey.toml:21: `from_hz` must lie in [1, 100000] Hz, is 0.")]
    [InlineData("from_hz = 5\nto_hz = 120\nwithin_db = 0", "survey.toml:23: `within_db` must lie in (0, 20] dB, is 0.")]
    [InlineData("from_hz = 5\nto_hz = 120\nwithin_bd = 1", "survey.toml:23: [wanted] has no key `within_bd`. Did you mean `within_db`?")]
    public void A_wanted_range_that_is_none_is_a_fault_with_its_line(string keys, string begin) =>
        Assert.StartsWith(begin, SurveyTexts.FaultOf(SurveyTexts.Plain + "[wanted]\n" + keys), StringComparison.Ordinal);

    [Fact]
    public void Another_range_takes_its_place()
    {
        var survey = SurveyTexts.Read(SurveyTexts.Plain + "[wanted]\nfrom_hz = 5\nto_hz = 120\nwithin_db = 1.5\n");
        var other = survey.Wanting(" 20 : 1.5e3");
        Assert.Equal((20, 1500, 1.5), (other.WantedFromHz, other.WantedToHz, other.WantedWithinDb));
        Assert.Equal(3, survey.Wanting(20, 100, 3).WantedWithinDb);
        Assert.Same(survey, survey.Wanting(""));
        Assert.Equal((survey.Takes.Count, survey.Title, survey.Folder), (other.Takes.Count, other.Title, other.Folder));
    }

    [Theory]
    [InlineData("5-120", "`5-120` is not a range; write two frequencies in hertz with a colon between them, for example 5:120.")]
    [InlineData("5", "`5` is not a range")]
    [InlineData("5:", "`5:` is not a range")]
    [InlineData("5:120:200", "`5:120:200` is not a range")]
    [InlineData("low:high", "`low:high` is not a range")]
    [InlineData("5:NaN", "`5:NaN` is not a range")]
    [InlineData("1,5:120", "`1,5:120` is not a range")]
    [InlineData("120:5", "`120:5` does not rise; did you mean 5:120?")]
    [InlineData("5:5", "`5:5` does not rise")]
    [InlineData("-5:120", "`-5:120` reaches outside 1 to 100000 Hz")]
    [InlineData("0:120", "`0:120` reaches outside 1 to 100000 Hz")]
    public void A_text_that_is_no_range_says_what_to_write(string text, string begin) =>
        Assert.StartsWith(begin, Assert.Throws<ArgumentException>(() => SurveyTexts.Read(SurveyTexts.Plain).Wanting(text)).Message, StringComparison.Ordinal);

    [Theory]
    [InlineData(0, 100, null, "fromHz")]
    [InlineData(100, 100, null, "toHz")]
    [InlineData(double.NaN, 100, null, "fromHz")]
    [InlineData(5, 120, 0.0, "withinDb")]
    [InlineData(5, 120, 21.0, "withinDb")]
    public void Numbers_outside_their_intervals_are_refused(double fromHz, double toHz, double? withinDb, string name) =>
        Assert.Equal(name, Assert.Throws<ArgumentOutOfRangeException>(() => SurveyTexts.Read(SurveyTexts.Plain).Wanting(fromHz, toHz, withinDb)).ParamName);
}
