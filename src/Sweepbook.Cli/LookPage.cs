// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Sweepbook.Files;
using Sweepbook.Notebook;
using Sweepbook.Studies;

namespace Sweepbook.Cli;

/// <summary>The page of a quick look: one picture and one line per take. No script, nothing fetched.</summary>
internal static class LookPage
{
    private const int SmoothedTo = 24;   // a 24th of an octave: the eye sees no less, and the page stays small

    private const string Mark = "<meta name=\"generator\" content=\"sweepbook look\">";
    private const int MarkIsWithin = 1024;   // it stands on the fifth line

    private const string Style = """
        :root { color-scheme: light dark; --paper: #fcfbf8; --ink: #20262c; --grid: #dcd9d1; --quiet: #5a6168; --fault: #a3200d; }
        @media screen and (prefers-color-scheme: dark) { :root { --paper: #16191c; --ink: #e4e1da; --grid: #343a40; --quiet: #a3a9ae; --fault: #ff8f7a; } }
        body { margin: 0 auto; padding: 1.6rem 1.4rem; max-width: 62rem; background: var(--paper); color: var(--ink); font: 1rem/1.5 system-ui, "Segoe UI", "Helvetica Neue", Arial, sans-serif; }
        h1 { font-size: 1.5rem; line-height: 1.25; margin: 0 0 1rem; overflow-wrap: anywhere; }
        .plot { overflow-x: auto; } .plot > svg { min-width: 640px; }
        svg { width: 100%; height: auto; font-size: 12.5px; fill: var(--ink); }
        svg path { fill: none; stroke-linejoin: round; }
        svg .grid { stroke: var(--grid); }
        svg .believed { stroke-width: 2; }
        svg .faint { stroke-width: 1.2; opacity: .35; }
        .swatch { width: 34px; height: 8px; vertical-align: middle; margin-right: .4rem; }
        ul { list-style: none; padding: 0; } li { margin: .55rem 0; overflow-wrap: anywhere; } .quiet { color: var(--quiet); } .fault { color: var(--fault); }
        @media print { .plot > svg { min-width: 0; } }
        @page { size: A4; margin: 15mm; }
        """;

    /// <summary>Refuses to replace a file that is no such page.</summary>
    /// <exception cref="DataFault">Somebody else's file is there.</exception>
    public static void RefuseStranger(string path)
    {
        if (!File.Exists(path)) return;
        try
        {
            if (new FileInfo(path).Length > 0)   // a pipe or a device has no length, and is not read
            {
                using var stream = File.OpenRead(path);
                var start = new byte[MarkIsWithin];
                if (Encoding.UTF8.GetString(start, 0, stream.ReadAtLeast(start, start.Length, throwOnEndOfStream: false)).Contains(Mark, StringComparison.Ordinal)) return;
            }
        }
        catch (UnauthorizedAccessException)
        {
            // what cannot be read is not known to be ours
        }
        throw new DataFault(path, null, "this file is not a page of `sweepbook look`, so it is not replaced", "Choose another name with --out, or move the file away.");
    }

    /// <summary>Writes the page of some studies of one take each.</summary>
    public static void Write(Stream stream, string title, IReadOnlyList<Study> looks)
    {
        var html = new StringBuilder("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
        html.Append("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n");
        html.Append("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
        html.Append(Mark).Append('\n');
        html.Append($"<title>{PlotText.Html(title)}</title>\n<style>\n{Style}\n</style>\n</head>\n<body>\n<main>\n<h1>{PlotText.Html(title)}</h1>\n");
        var curves = looks.SelectMany(look => look.Responses).Select(Curve).ToList();
        var (onAxis, levels) = Levels([.. looks.SelectMany(look => look.Responses)]);
        if (curves.Count > 0)
            html.Append("<div class=\"plot\">\n").Append(LookDrawing.Svg(curves, $"Level over frequency of {string.Join(", ", curves.Select(curve => curve.Name))}; strong where it may be believed, faint elsewhere.", onAxis)).Append("</div>\n");
        html.Append("<ul>\n");
        var place = 0;
        foreach (var take in looks.SelectMany(look => look.Takes))
            html.Append("<li>").Append(Line(take, take.IsUsed ? LookDrawing.Swatch(place++) : "")).Append("</li>\n");
        html.Append(CultureInfo.InvariantCulture, $"</ul>\n<p class=\"quiet\">Strong where the level may be believed, faint elsewhere; smoothed to a {SmoothedTo}th of an octave. {levels}, the calibration is subtracted where the survey names one.</p>\n</main>\n</body>\n</html>\n");
        stream.Write(Encoding.UTF8.GetBytes(html.ToString()));
    }

    /// <summary>What 0 dB means, for the axis and as a sentence: sound pressure levels and relative ones are never drawn as if they were of one kind.</summary>
    internal static (string OnAxis, string Sentence) Levels(IReadOnlyList<ResponseResult> responses)
    {
        var pressure = responses.Where(result => result.Response.Reference == Spectra.LevelReference.SoundPressure).Select(result => result.Takes[0].File).ToList();
        return pressure.Count == 0 ? ("relative", "Levels are relative")
            : pressure.Count == responses.Count ? (responses[0].Response.LevelReference, "Levels are sound pressure levels re 20 µPa of the sweep as it was played")
            : ("partly relative: see below", $"Levels of {string.Join(", ", pressure.Select(PlotText.Html))} are re 20 µPa, those of the others relative, so their heights are not to be compared");
    }

    private static LookCurve Curve(ResponseResult result)
    {
        var response = result.Response;
        return new(result.Takes[0].File, response.Grid.ToArray(), response.SmoothedLevelsDb(SmoothedTo), [.. Enumerable.Range(0, response.Count).Select(k => response.LevelTrust[k])]);
    }

    private static string Line(TakeResult take, string swatch)
    {
        var line = new StringBuilder($"{swatch}<strong>{PlotText.Html(take.Take.File)}</strong> <span class=\"quiet\">{PlotText.Html($"{take.Take.SourceName} at {take.Take.Seat}, {take.Take.Setting}")}</span><br>");
        if (!take.IsUsed) return line.Append($"<span class=\"fault\">{PlotText.Html(take.WhyNot!)}</span>").ToString();
        line.Append(PlotText.Html(take.LevelBand.IsEmpty
            ? $"Nothing can be believed: {take.LevelBand.LowReason.Sentence}."
            : $"Believe {take.LevelBand.Words}. Below: {take.LevelBand.LowReason.Sentence}. Above: {take.LevelBand.HighReason.Sentence}."));
        line.Append(CultureInfo.InvariantCulture, $" <span class=\"quiet\">Peak {take.PeakDbfs:0.0} dBFS.</span>");
        foreach (var fault in take.Faults) line.Append($" <span class=\"fault\">{PlotText.Html(fault)}.</span>");
        return line.ToString();
    }
}
