// SPDX-License-Identifier: MIT
using System.Text.Json.Nodes;
using PuppeteerSharp;
using PuppeteerSharp.Media;
using Sweepbook.Report;
using Sweepbook.Simulation;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>The room report of the demo survey, made once; the survey is computed from its plan where the recordings are not there.</summary>
public sealed class RoomReport : IAsyncLifetime
{
    internal const string Title = "Orchard Row living room";

    private readonly TestFolder _folder = new();

    internal string Survey { get; private set; } = Path.Combine(TestFolder.Repository, "data-demo", "orchard-row");

    internal string Page => _folder.File("report.html");

    internal string Executed => _folder.File("room-report.ipynb");

    internal string Results => _folder.File("results");

    internal static string Notebook => Path.Combine(TestFolder.Repository, "notebooks", "room-report.ipynb");

    public async ValueTask InitializeAsync()
    {
        if (!File.Exists(Path.Combine(Survey, Surveys.Survey.FileName)))
        {
            var plan = Survey + ".plan.toml";
            Survey = _folder.File("survey");
            Simulator.Write(SimulationPlan.Read(plan), Survey);
        }
        var result = await NotebookRun.StartAsync(new()
        {
            Notebook = Notebook,
            Output = Executed,
            Page = Page,
            Title = Title,
            Command = "sweepbook report data-demo/orchard-row",
            VerifyCommand = "sweepbook verify out/orchard-row data-demo/orchard-row",
            Date = new DateOnly(2026, 10, 18),
            Provenance = Path.Combine(Results, "provenance.json"),
            Parameters = new Dictionary<string, object> { ["surveyFolder"] = Survey, ["resultsFolder"] = Results },
            ShownParameters = new Dictionary<string, object> { ["surveyFolder"] = "data-demo/orchard-row", ["resultsFolder"] = "out/orchard-row" },
        });
        Assert.True(result.Succeeded, result.Failure?.ToString());
    }

    public ValueTask DisposeAsync()
    {
        _folder.Dispose();
        return ValueTask.CompletedTask;
    }
}

public sealed class RoomReportTests(RoomReport report) : IClassFixture<RoomReport>
{
    private const int FigureCount = 13;   // bands, weakest link, microphone, arrivals, one per source, seats, decay times, one waterfall per source, predicted modes

    [Fact]
    public async Task The_page_keeps_all_its_promises_in_a_browser_without_a_network()
    {
        TestBrowser.SkipWithout();
        await using var browser = await TestBrowser.StartAsync();
        var page = await browser.OpenAsync(report.Page);
        Assert.Empty(page.Errors);
        Assert.All(page.Requests, url => Assert.True(url == new Uri(report.Page).AbsoluteUri || url.StartsWith("data:"), url));
        Assert.Equal(RoomReport.Title, await page.Page.EvaluateExpressionAsync<string>("document.querySelector('h1').textContent"));
        Assert.Equal(Study.Headlines, await page.Page.EvaluateExpressionAsync<int>("document.querySelectorAll('.first .sweepbook-findings li').length"));
        Assert.Equal(1, await page.Page.EvaluateExpressionAsync<int>("document.querySelectorAll('.first .sweepbook-figure').length"));

        const string Points = "[...document.querySelectorAll('.sweepbook-plot')].map(p => Math.max(...p.data.map(t => t.y.filter(v => v !== null && isFinite(v)).length)))";
        var points = await page.Page.EvaluateExpressionAsync<int[]>(Points);
        Assert.Equal(FigureCount, points.Length);
        Assert.All(points, count => Assert.True(count >= 1));
        await ReportPageInBrowserTests.AssertProportions(page.Page, 4);
        await ReportPageInBrowserTests.AssertAccessible(page.Page);
        foreach (var scheme in new[] { "light", "dark" })
        {
            await page.Page.EmulateMediaFeaturesAsync([new() { MediaFeature = MediaFeature.PrefersColorScheme, Value = scheme }]);
            await ReportPageInBrowserTests.AssertContrast(page.Page);
        }
        await ReportPageInBrowserTests.AssertPrints(page.Page, 4, 18);
        await ReportPageInBrowserTests.AssertAxes((await browser.OpenAsync(report.Page, 400)).Page);
        Assert.Empty(page.Errors);
    }

    [Fact]
    public async Task Nothing_on_the_page_stands_in_the_way_of_a_keyboard_or_a_screen_reader()
    {
        TestBrowser.SkipWithout();
        AccessibilityTests.SkipWithout();
        await using var browser = await TestBrowser.StartAsync();
        await AccessibilityTests.AssertNoViolation((await browser.OpenAsync(report.Page)).Page);
    }

    [Fact]
    public async Task A_seat_keeps_its_colour_through_the_whole_report()
    {
        TestBrowser.SkipWithout();
        await using var browser = await TestBrowser.StartAsync();
        var page = await browser.OpenAsync(report.Page);
        var colours = await page.Page.EvaluateExpressionAsync<Dictionary<string, string[]>>("""
            (() => { const seen = {}; for (const p of document.querySelectorAll('.sweepbook-plot')) for (const t of p.data) { if (!t.legendgroup) continue;
              (seen[t.legendgroup] ??= new Set()).add(t.type === 'bar' ? t.marker.color : t.line.color); } return Object.fromEntries(Object.entries(seen).map(([k, v]) => [k, [...v]])); })()
            """);
        var seats = Survey.Read(report.Survey).Seats.Select(seat => seat.Id).ToHashSet();
        foreach (var other in colours.Keys.Where(group => !seats.Contains(group)).ToArray()) colours.Remove(other);   // levels, noise, means
        Assert.Equal(seats.Count, colours.Count);
        Assert.All(colours.Values, used => Assert.Single(used));
        Assert.Equal(colours.Count, colours.Values.Select(used => used[0]).Distinct().Count());
    }

    [Fact]
    public void The_executed_notebook_shows_the_folders_of_the_reader_and_holds_the_figures()
    {
        var text = File.ReadAllText(report.Executed);
        Assert.DoesNotContain(report.Results, text);
        Assert.Contains("resultsFolder = \\\"out/orchard-row\\\";", text);
        var outputs = JsonNode.Parse(text)!["cells"]!.AsArray().SelectMany(cell => cell!["outputs"]?.AsArray() ?? []).ToArray();
        Assert.Equal(FigureCount, outputs.Sum(output => NotebookCell.Text(output!["data"]!["text/html"]).Split("<figure ").Length - 1));
        Assert.DoesNotContain("resultsFolder = &quot;" + report.Results, File.ReadAllText(report.Page));
    }

    [Fact]
    public void The_tables_are_those_of_the_study()
    {
        var rows = File.ReadAllLines(Path.Combine(report.Results, "findings.csv"));
        var page = File.ReadAllText(report.Page);
        Assert.StartsWith("id,severity,subject,value,unit,sentence", rows[0]);
        foreach (var finding in Study.Of(Survey.Read(report.Survey)).Findings.Take(Study.Headlines))
            Assert.Contains($"<li data-severity=\"{finding.Severity.ToString().ToLowerInvariant()}\">", page);
        Assert.True(File.Exists(Path.Combine(report.Results, "provenance.json")));
    }

    [Fact]
    public void Without_figures_there_is_no_talk_of_what_they_show()
    {
        string[] talk = ["tape measure", "Seats may be compared", "press a name", "An equaliser moves the means", "die away, band by band", "when the music stops", "box of this size"];
        using var page = new MemoryStream();
        ReportPage.Write(page, NotebookFile.Read(RoomReport.Notebook), new(null, "room-report.ipynb", null));   // no outputs, as of a survey without a usable take
        var text = System.Text.Encoding.UTF8.GetString(page.ToArray());
        Assert.Contains("How it was measured", text);
        foreach (var words in talk) Assert.DoesNotContain(words, text);
        text = File.ReadAllText(report.Page);
        foreach (var words in talk) Assert.Contains(words, text);
    }

    [Fact]
    public void Every_picture_of_what_the_room_does_says_what_it_found_and_names_its_table()
    {
        var study = Study.Of(Survey.Read(report.Survey));
        var decays = Assert.Single(Figures.DecayTimes(study));
        Assert.StartsWith("Decay of main-left, 5 seats together. Decay times run from", decays.TextAlternative);
        var apart = Assert.Single(Figures.SeatsFarthestApart(study));
        Assert.Equal(study.SeatResults().MaxBy(result => result.Seats.Between(20, 120).MeanSpatialVarianceDb2)!.Source, apart.Title.Split(':')[0]);
        foreach (var table in new[] { decays.FromFile, apart.FromFile }) Assert.True(File.Exists(Path.Combine(report.Results, table)), table);

        var drawn = FigureTests.JsonOf(decays).GetProperty("data").EnumerateArray().ToArray();
        Assert.Equal(1 + study.Survey.Seats.Count, drawn.Length);
        var together = study.Decays.Single(result => result.Source == "main-left" && result.Seat == DecayResult.EnsembleSeat).ThirdOctaves;
        Assert.Equal(together.Where(decay => DecayWords.Best(decay).IsValid).Select(decay => Math.Round(DecayWords.Best(decay).Value, 4)),
            drawn[0].GetProperty("y").EnumerateArray().Select(number => Math.Round(number.GetDouble(), 4)));
    }

    [Fact]
    public void A_study_of_one_seat_has_a_line_of_its_own_and_no_seats_to_compare()
    {
        var survey = Survey.Read(report.Survey);
        var study = Study.Of(survey, [.. survey.Takes.Where(take => take.SourceName == "sub-front").Take(1)]);
        Assert.Empty(Figures.SeatsFarthestApart(study));
        var figure = Assert.Single(Figures.DecayTimes(study));
        Assert.StartsWith($"Decay of sub-front, {study.Responses[0].Seat}.", figure.TextAlternative);
        Assert.Single(FigureTests.JsonOf(figure).GetProperty("data").EnumerateArray());
        Assert.Empty(Figures.DecayTimes(Study.Of(survey, [])));
    }

    [Fact]
    public void Captions_are_true_on_paper_too()
    {
        var page = File.ReadAllText(report.Page);
        foreach (System.Text.RegularExpressions.Match caption in System.Text.RegularExpressions.Regex.Matches(page, "<figcaption>.*?</figcaption>", System.Text.RegularExpressions.RegexOptions.Singleline))
            Assert.DoesNotContain("hover", caption.Value);
        Assert.Contains("Amplitude (no unit)", page);
        var study = Study.Of(Survey.Read(report.Survey));
        foreach (var result in study.Responses)
            Assert.Equal(result.Response.Points().Any(point => point.TrustedLevel && point.IsCensored),
                Figures.NoiseFloor(study, result.Source, result.Seat).Note.Contains("the true level is no higher"));
    }

    [Fact]
    public void Figures_refuse_names_that_the_study_does_not_know_and_say_which_it_knows()
    {
        var survey = Survey.Read(report.Survey);
        var study = Study.Of(survey, [.. survey.Takes.Where(take => take.SourceName == "sub-front").Take(2)]);
        var error = Assert.Throws<ArgumentException>(() => Figures.Responses(study, "sub-frnt"));
        Assert.Contains("sub-front", error.Message);
        error = Assert.Throws<ArgumentException>(() => Figures.NoiseFloor(study, "sub-front", "roof"));
        Assert.Equal("seat", error.ParamName);
        Assert.Contains(study.Responses[0].Seat, error.Message);
        Assert.Empty(Figures.FirstArrivals(study));
        Assert.Contains("sub-front", Figures.ImpulseResponse(study, "sub-front", study.Responses[0].Seat).TextAlternative);

        var row = study.Responses[0];
        var frame = Tables.Responses(study);
        Assert.Equal(study.Responses.Sum(result => result.Response.Count), frame.RowCount);
        Assert.Equal(row.Response[100].LevelDb, frame.GetColumn<double>("level (dB)")[100]);
        Assert.Equal(study.Takes[1].PeakDbfs, Tables.Takes(study).GetColumn<double>("peak (dBFS)")[1], 0.05);   // shown to a tenth
        Assert.Equal(study.Findings[0].Sentence, Tables.Findings(study).GetColumn<string>("sentence")[0]);
    }
}
