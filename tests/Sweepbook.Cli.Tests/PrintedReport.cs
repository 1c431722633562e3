// SPDX-License-Identifier: MIT
using System.Diagnostics;
using Sweepbook.Report;
using Xunit;

namespace Sweepbook.Cli.Tests;

/// <summary>A report of a small survey, with a printed one where there is a browser, made once.</summary>
[CollectionDefinition(Shared)]
public sealed class PrintedReport : ICollectionFixture<PrintedReport>, IDisposable
{
    internal const string Shared = "one printed report";

    internal const string Title = "Small } </style> \"quoted\" Ärger";

    public PrintedReport()
    {
        Survey = SmallSurvey.Make(Work["survey"], takes: 2);
        Survey.Edit("title = \"Small\"", $"title = '{Title}'");
        Said = Ran.In(Work.Root, HasBrowser ? ["report", "survey", "--wanted", "40:200", "--pdf"] : ["report", "survey", "--wanted", "40:200"]).Succeeded();
    }

    internal static bool HasBrowser { get; } = Browser();

    internal WorkFolder Work { get; } = new();

    internal SmallSurvey Survey { get; }

    internal Ran Said { get; }

    internal string Pdf => Work["out", "survey", "report.pdf"];

    /// <summary>What one of the PDF programs says about the file.</summary>
    internal string Ask(string program, params string[] arguments)
    {
        Assert.SkipUnless(HasBrowser, $"No browser here (Debian: chromium; or its path in {PageBrowser.Variable}).");
        Assert.SkipUnless(File.Exists("/usr/bin/" + program), $"No {program} here (Debian: poppler-utils).");
        using var process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true })!;
        var said = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        Assert.Equal(0, process.ExitCode);
        return said;
    }

    public void Dispose() => Work.Dispose();

    private static bool Browser()
    {
        try
        {
            return PageBrowser.Find() is not null;
        }
        catch (Sweepbook.Files.DataFault)
        {
            return false;
        }
    }
}
