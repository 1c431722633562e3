// SPDX-License-Identifier: MIT
using System.IO.Compression;
using System.Reflection;
using Deedle;
using Microsoft.DotNet.Interactive;
using Microsoft.DotNet.Interactive.Formatting;
using Sweepbook.Trust;

namespace Sweepbook.Notebook;

/// <summary>Makes figures, tables, findings and replies show themselves in a kernel; called once by the set-up script of the notebooks.</summary>
public static class NotebookSetup
{
    /// <summary>Registers how figures, frames, findings and replies to exercises are shown and hands over the chart script (1.5 MB, once), so that an executed notebook draws its figures wherever it is opened.</summary>
    public static void Init()
    {
        RegisterFormatters();
        WatchWork();
        KernelInvocationContext.Current?.DisplayAs(ChartScript.ForFrontEnd(), HtmlFormatter.MimeType);
    }

    /// <summary>Long work in a cell shows how far it is, where somebody looks on (not in the runner, whose outputs are kept), and ends when the cell is stopped.</summary>
    private static void WatchWork()
    {
        StopButton.Listen();
        var isWatched = Assembly.GetEntryAssembly()?.GetName().Name == FrontEndHost;
        Files.WorkWatch.Start = () => KernelInvocationContext.Current is { } cell ? new CellWatch(CancellationTokenSource.CreateLinkedTokenSource(cell.CancellationToken, StopButton.Token), first =>
        {
            if (!isWatched) return _ => { };
            var shown = cell.DisplayAs(first, HtmlFormatter.MimeType);
            return line => shown.Update(new HtmlText(line));
        }) : null;
    }

    /// <summary>The program that stands between a page and the kernel.</summary>
    private const string FrontEndHost = "Microsoft.DotNet.Interactive.App";

    private readonly record struct HtmlText(string Text);

    /// <summary>A page for those who look at one, and text beside it for a plain viewer and for comparing numbers.</summary>
    internal static void RegisterFormatters()
    {
        Formatter.Register<HtmlText>((html, writer) => writer.Write(html.Text), HtmlFormatter.MimeType);
        Formatter.SetPreferredMimeTypesFor(typeof(HtmlText), HtmlFormatter.MimeType);
        Formatter.Register(typeof(object), (value, writer) => writer.Write(ShownText.Of(value)), PlainTextFormatter.MimeType);
        Formatter.SetPreferredMimeTypesFor(typeof(object), HtmlFormatter.MimeType, PlainTextFormatter.MimeType);
        foreach (var type in new[] { typeof(Figure), typeof(IEnumerable<Figure>), typeof(IEnumerable<Finding>), typeof(Reply), typeof(Frame<,>) }) Show(type);
        foreach (var type in Shown.Types)
        {
            Show(type);
            if (type != typeof(Finding)) Show(typeof(IEnumerable<>).MakeGenericType(type));
        }
        foreach (var plain in new[] { typeof(double), typeof(int), typeof(long), typeof(bool), typeof(string) })
        {
            Formatter.Register(plain, (value, writer) => writer.Write(ShownText.Of(value)), PlainTextFormatter.MimeType);
            Formatter.SetPreferredMimeTypesFor(plain, PlainTextFormatter.MimeType);
        }
    }

    private static void Show(Type type)
    {
        Formatter.Register(type, (value, writer) => writer.Write(Shown.Html(value)), HtmlFormatter.MimeType);
        Formatter.Register(type, (value, writer) => writer.Write(ShownText.Of(value)), PlainTextFormatter.MimeType);
        Formatter.SetPreferredMimeTypesFor(type, HtmlFormatter.MimeType, PlainTextFormatter.MimeType);
    }
}

/// <summary>The chart script and our own drawing script, from the assemblies' resources.</summary>
internal static class ChartScript
{
    /// <summary>How the output with the scripts begins; a page that brings the scripts itself leaves that output out.</summary>
    public const string Marker = "<script data-sweepbook=\"charts\">";

    private const string LibraryResource = "Plotly.NET.plotly-2.28.0.min.js";

    public static string Library => Read(typeof(global::Plotly.NET.GenericChart).Assembly, LibraryResource);

    public static string Drawing => Read(typeof(ChartScript).Assembly, "Sweepbook.figures.js");

    /// <summary>Both scripts as one output of a cell: packed, and with the module loader of the page hidden from the library while it starts.</summary>
    public static string ForFrontEnd()
    {
        var script = $"(function(define,module,exports){{{Library}\n}}).call(window);\n{Drawing}";
        using var packed = new MemoryStream();
        using (var gzip = new GZipStream(packed, CompressionLevel.Optimal, leaveOpen: true))
            gzip.Write(System.Text.Encoding.UTF8.GetBytes(script));
        var text = Convert.ToBase64String(packed.ToArray());
        return Marker + "(function(){if(window.sweepbookDraw)return;"
            + $"var b=Uint8Array.from(atob(\"{text}\"),function(c){{return c.charCodeAt(0)}});"
            + "new Response(new Blob([b]).stream().pipeThrough(new DecompressionStream(\"gzip\"))).text().then(function(t){(0,eval)(t)});})();</script>"
            + "<p style=\"margin:0\">Sweepbook is ready.</p>";
    }

    private static string Read(Assembly assembly, string name)
    {
        using var stream = assembly.GetManifestResourceStream(name)
            ?? throw new InvalidOperationException($"The assembly {assembly.GetName().Name} lacks the resource {name}; its version is not the pinned one.");
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}
