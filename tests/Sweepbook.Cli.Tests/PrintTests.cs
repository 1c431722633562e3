// SPDX-License-Identifier: MIT
using System.Text.RegularExpressions;
using Xunit;

namespace Sweepbook.Cli.Tests;

[Collection(PrintedReport.Shared)]
public sealed class PrintTests(PrintedReport report)
{
    private const int FewestWords = 40;   // a page that holds less is nearly empty: a heading and its first sentence have more

    [Fact]
    public void Every_sheet_carries_the_title_the_date_and_its_number_and_none_is_nearly_empty()
    {
        var pages = report.Ask("pdftotext", "-layout", report.Pdf, "-").Split('\f')[..^1];
        Assert.InRange(pages.Length, 3, 12);
        foreach (var (k, page) in pages.Index())
        {
            Assert.Contains(PrintedReport.Title, page);
            Assert.Contains("18 October 2026", page);
            Assert.Matches(FormattableString.Invariant($" {k + 1} ?/ ?{pages.Length}$"), Plain(page));   // narrow blanks are not always read back
            Assert.True(Regex.Count(page, @"\w{3,}") >= FewestWords, $"page {k + 1} holds: {page}");
        }
    }

    [Fact]
    public void It_is_A4_tagged_titled_and_its_text_can_be_searched()
    {
        var info = report.Ask("pdfinfo", report.Pdf);
        Assert.Matches(@"Title: +" + Regex.Escape(PrintedReport.Title), info);
        Assert.Matches(@"Tagged: +yes", info);
        Assert.Matches(@"Page size: .*\(A4\)", info);
        Assert.Matches(@"JavaScript: +no", info);
        var text = Plain(report.Ask("pdftotext", report.Pdf, "-"));
        foreach (var (_, sentence) in ResultTables.Findings(report.Work["out", "survey"]).Take(5)) Assert.Contains(Plain(sentence), text);
        foreach (var part in new[] { "What this page was computed from", "Input files", "takes/main_seat-1.wav", "sweepbook verify out/survey survey", "Measured on 18 October 2026" }) Assert.Contains(part, text);
        Assert.DoesNotContain("Code, cell", text);
    }

    [Fact]
    public void Contents_lead_to_their_parts_on_paper_too()
    {
        _ = report.Ask("pdfinfo", report.Pdf);
        var outline = System.Text.Encoding.Latin1.GetString(File.ReadAllBytes(report.Pdf));
        Assert.Contains("/Outlines", outline);
        Assert.True(Regex.Count(outline, @"/Subtype\s*/Link") >= 3, "links");
        Assert.Contains("report.pdf", report.Said.Output);
        Assert.Contains("report.pdf", File.ReadAllText(report.Work["out", "survey", "written-by-sweepbook.txt"]));
    }

    [Fact]
    public void Without_a_browser_that_is_said_before_anything_is_computed()
    {
        var said = Ran.Finish(Ran.Start(report.Work.Root, [("PATH", report.Work["nowhere"]), ("SWEEPBOOK_BROWSER", "")], "report", "survey", "--out", "none", "--pdf"));
        if (said.ExitCode == 0) Assert.Skip("A browser stands in one of the places of this system that do not depend on PATH.");
        said.Refused(1);
        Assert.Contains("apt install chromium", said.Error);
        Assert.Contains("from any browser", said.Error);
        Assert.Empty(said.Output);
        Assert.False(Directory.Exists(report.Work["none"]));
        var wrong = Ran.Finish(Ran.Start(report.Work.Root, [("SWEEPBOOK_BROWSER", report.Work["gone"])], "report", "survey", "--out", "none", "--pdf")).Refused(1);
        Assert.Contains("SWEEPBOOK_BROWSER names this browser, and there is no such program", wrong.Error);
    }

    [Fact]
    public void A_browser_that_prints_nothing_costs_the_sheet_and_not_the_report()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "The stand-in for the browser is a script.");
        var script = report.Work["browser"];
        File.WriteAllText(script, "#!/bin/sh\nexit 7\n");
        if (!OperatingSystem.IsWindows()) File.SetUnixFileMode(script, UnixFileMode.UserRead | UnixFileMode.UserExecute);
        var said = Ran.Finish(Ran.Start(report.Work.Root, [("SWEEPBOOK_BROWSER", script)], "report", "survey", "--out", "half", "--pdf")).Refused(1);
        Assert.Contains("exit code 7 and wrote no PDF", said.Error);
        Assert.True(File.Exists(report.Work["half", "report.html"]));
        Assert.False(File.Exists(report.Work["half", "report.pdf"]));
    }

    private static string Plain(string text) => string.Join(' ', text.Replace("\u00ad", "", StringComparison.Ordinal).Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));
}
