// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text.RegularExpressions;
using Xunit;

namespace Sweepbook.Cli.Tests;

public sealed class LookTests : IDisposable
{
    private readonly WorkFolder _work = new();

    public void Dispose() => _work.Dispose();

    [Fact]
    public void A_take_is_shown_with_its_trusted_band_on_a_page_that_fetches_nothing()
    {
        var survey = SmallSurvey.Make(_work["survey"], takes: 2);
        var before = WorkFolder.Fingerprint(survey.Folder);
        var ran = Ran.In(_work.Root, "look", "survey/takes/main_seat-1.wav", "survey/takes/main_seat-2.wav").Succeeded();
        Assert.Contains("main_seat-1", ran.Output);
        Assert.Contains(Path.Combine("out", "look.html"), ran.Output);
        var page = File.ReadAllText(_work["out", "look.html"]);
        Assert.Equal(2, page.Split("class=\"swatch\"").Length - 1);
        Assert.Contains("Believe ", page);
        Assert.DoesNotContain("<script", page);
        Assert.DoesNotContain("http", page.Replace("http-equiv", ""));
        Assert.Equal(before, WorkFolder.Fingerprint(survey.Folder));
    }

    [Fact]
    public void The_flat_response_of_the_small_survey_is_drawn_flat()
    {
        // A quarter of the sweep reaches the microphone and half of it the loopback: 20 lg(0.25 / 0.5) = −6.02 dB, so the curve lies between the
        // grid lines of 0 and −10 dB, nearer to the lower one.
        SmallSurvey.Make(_work["survey"]);
        Ran.In(_work.Root, "look", "survey/takes/main_seat-1.wav").Succeeded();
        var page = File.ReadAllText(_work["out", "look.html"]);
        var (zero, ten) = (GridLine(page, "0"), GridLine(page, "\u221210"));
        var believed = page[page.IndexOf("<path class=\"believed\"", StringComparison.Ordinal)..];
        var places = believed[(believed.IndexOf(" d=\"M", StringComparison.Ordinal) + 5)..].Split('"')[0].Split('L').Select(point => Number(point.Split(' ')[1])).ToList();
        var expected = zero + 0.602 * (ten - zero);
        const double HalfDecibel = 0.05;   // noise and the edges of the band; a tenth of the way between the lines is 1 dB
        Assert.All(places.Skip(places.Count / 10).SkipLast(places.Count / 10), place => Assert.InRange(place, expected - HalfDecibel * (ten - zero), expected + HalfDecibel * (ten - zero)));
    }

    [Fact]
    public void Names_from_a_survey_stay_text()
    {
        SmallSurvey.Make(_work["survey"]).Edit("title = \"Small\"", "title = \"</title><script>alert(1)</script>\"");
        Ran.In(_work.Root, "look", "survey/takes/main_seat-1.wav").Succeeded();
        Assert.DoesNotContain("<script", File.ReadAllText(_work["out", "look.html"]));
    }

    [Fact]
    public void A_take_that_no_survey_names_is_refused_with_what_to_do()
    {
        var survey = SmallSurvey.Make(_work["survey"]);
        File.Copy(survey.Take(1), _work["stray.wav"]);
        Assert.Contains("sweepbook new", Ran.In(_work.Root, "look", "stray.wav").Refused(1).Error);
        File.Copy(survey.Take(1), Path.Combine(survey.Folder, "takes", "other.wav"));
        Assert.Contains("other.wav", Ran.In(_work.Root, "look", "survey/takes/other.wav").Refused(1).Error);
        Assert.False(Directory.Exists(_work["out"]));
    }

    [Fact]
    public void A_take_that_cannot_be_used_is_named_and_an_old_page_is_replaced_by_the_reason()
    {
        var survey = SmallSurvey.Make(_work["survey"]);
        survey.Record(1, loopback: 0);
        var ran = Ran.In(_work.Root, "look", "survey/takes/main_seat-1.wav").Refused(1);
        Assert.Contains("loopback", ran.Error);
        Assert.Contains("loopback", File.ReadAllText(_work["out", "look.html"]));
    }

    [Fact]
    public void The_words_of_the_last_tick_end_inside_the_drawing_and_a_narrow_window_scrolls_it()
    {
        SmallSurvey.Make(_work["survey"]);
        Ran.In(_work.Root, "look", "survey/takes/main_seat-1.wav").Succeeded();
        var page = File.ReadAllText(_work["out", "look.html"]);
        var width = Number(Regex.Match(page, "viewBox=\"0 0 ([0-9]+) ").Groups[1].Value);
        const double HalfWords = 5 * 12.5 * 0.75 / 2;   // five digits of 12.5 pixels, each at most three quarters as wide as it is high
        var lastTick = Regex.Matches(page, "<text x=\"([0-9.]+)\" y=\"[0-9.]+\" text-anchor=\"middle\">[0-9]+<").Max(match => Number(match.Groups[1].Value));
        Assert.InRange(lastTick + HalfWords, 0, width);
        Assert.Contains("<div class=\"plot\">\n<svg", page);
        Assert.Contains(".plot { overflow-x: auto; } .plot > svg { min-width: 640px; }", page);
    }

    private static double GridLine(string page, string label) =>
        Number(Regex.Match(page, $"y=\"([0-9.]+)\" text-anchor=\"end\">{label}<").Groups[1].Value) - 4;   // the words stand 4 pixels below their line

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
