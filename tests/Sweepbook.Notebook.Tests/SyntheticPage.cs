// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Text;
using System.Text.Json;
using System.Text.RegularExpressions;
using PuppeteerSharp;
using PuppeteerSharp.Media;
using Sweepbook.Report;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>One page and one browser for all the tests below.</summary>
public sealed class SyntheticPage : IAsyncLifetime
{
    /// <summary>Tries to leave every place it is written into.</summary>
    public const string HostileTitle = "</script><img src=x onerror=\"window.broken=1\">'%{x} & den";

    private readonly TestFolder _folder = new();
    private TestBrowser? _browser;

    internal TestBrowser Browser => _browser ?? throw new InvalidOperationException("No browser.");

    internal string File => _folder.File("report.html");

    internal string Executed => _folder.File("executed.ipynb");

    public async ValueTask InitializeAsync()
    {
        if (TestBrowser.Program is null) return;
        var title = NotebookFile.Literal(HostileTitle);
        var notebook = _folder.Notebook(
            TestCell.Text("# What can be believed, and what does the room do?\n\nOne line of answer.", "about"),
            TestFolder.Setup with { Tags = ["about"] },
            TestCell.Code($"new List<Finding> {{ new(\"a\", Severity.Note, \"survey\", 14, \"Hz\", \"Believed from 14 Hz.\"), new(\"b\", Severity.Caution, \"survey\", 1, \"dB\", {title}), new(\"c\", Severity.Fault, \"take\", 1, \"\", \"Clipped.\") }}", "first-screen"),
            TestCell.Code("Synthetic.Bands()", "first-screen"),
            TestCell.Text("## What can be believed\n\nWords and a [link](#about), and ![a picture](http://192.0.2.1/picture.png) that is not fetched."),
            TestCell.Code("if (1 > 2) throw new Exception();", "check"),
            TestCell.Code($"Synthetic.Hostile({title})"),
            TestCell.Text("## What the room does\n\n### A subwoofer\n\nHow much do the seats differ?"),
            TestCell.Code("Synthetic.Curves(5, 500)"),
            TestCell.Text("### A loudspeaker\n\nAnd here?"),
            TestCell.Code("Synthetic.Curves(10, 20000)"),
            TestCell.Text("## How it was measured\n\n> Keep the level modest."),
            TestCell.Code($"Console.WriteLine({title}); Console.Error.WriteLine(\"aside\");"),
            TestCell.Code("Deedle.Frame.FromRecords(new[] { new { source = " + title + ", seat = \"sofa\", level_db = -3.25, used = true }, new { source = \"b\", seat = \"chair\", level_db = double.NaN, used = false } })"));
        var result = await NotebookRun.StartAsync(new() { Notebook = notebook, Output = Executed, Page = File, Title = HostileTitle, Command = "sweepbook report " + HostileTitle });
        Assert.Null(result.Failure);
        _browser = await TestBrowser.StartAsync();
    }

    public async ValueTask DisposeAsync()
    {
        if (_browser is not null) await _browser.DisposeAsync();
        _folder.Dispose();
    }
}
