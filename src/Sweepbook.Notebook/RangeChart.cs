// SPDX-License-Identifier: MIT
using Plotly.NET;
using Sweepbook.Microphones;
using Sweepbook.Trust;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>One bar: a microphone, where it can be believed, the whole sentence, and the verdict on the wanted range where one is stated.</summary>
internal readonly record struct RangeRow(string Microphone, string Colour, TrustedBand Band, string Sentence, RangeVerdict? Wanted);

/// <summary>A bar per microphone from its first to its last usable frequency, with what ends it; the wanted range lies behind the bars.</summary>
internal static class RangeChart
{
    private const double RowHeight = 30;
    private const int LeftMargin = 150;
    private const string Shade = "rgba(127,127,127,0.20)";
    private const double LowestHz = 5, HighestHz = 20_000;

    /// <param name="rows">One row per microphone; none gives a figure that says so.</param>
    /// <param name="withinDb">± decibels that the ranges allow.</param>
    public static Figure Draw(IReadOnlyList<RangeRow> rows, double withinDb)
    {
        var wanted = rows.Select(row => row.Wanted).FirstOrDefault(verdict => verdict is not null);
        var ends = rows.Where(row => !row.Band.IsEmpty).SelectMany(row => new[] { row.Band.FromHz, row.Band.ToHz }).Concat(wanted is { } range ? [range.FromHz, range.ToHz] : Array.Empty<double>()).ToArray();
        var axis = LogAxis.Around(Math.Min(LowestHz, ends.DefaultIfEmpty(LowestHz).Min()), Math.Max(HighestHz, ends.DefaultIfEmpty(HighestHz).Max()));
        var last = Math.Max(1, rows.Count) - 1;
        var traces = new List<Trace>();
        DynamicObj.DynamicObj[] behind = wanted is not { } band ? [] : [Part(("type", "rect"), ("xref", "x"), ("yref", "paper"), ("x0", band.FromHz), ("x1", band.ToHz), ("y0", 0), ("y1", 1), ("fillcolor", Shade),
            ("line", Charts.Line("#7f7f7f", 1.2, "dash")), ("layer", "below"))];
        for (var y = 0; y < rows.Count; y++) traces.AddRange(Row(rows[y], y, axis));
        if (rows.Count == 0) traces.Add(BandChart.Words(axis.FromHz, 0, NoMicrophone, "middle right", "", NoMicrophone));
        var yAxis = Part(("range", new[] { last + 0.7, -0.7 }), ("tickmode", "array"), ("tickvals", Enumerable.Range(0, rows.Count).ToArray()), ("ticktext", rows.Select(Label).ToArray()), ("showgrid", false),
            ("zeroline", false), ("automargin", false), ("ticks", ""), ("fixedrange", true), ("showline", false));
        return new(Charts.Of(traces, axis.ToPart("Frequency (Hz)"), yAxis, ("barmode", "overlay"), ("shapes", behind)), Said(rows, withinDb), "microphone-range.csv")
        {
            Height = (int)((last + 1.4) * RowHeight) + 70,
            LeftMargin = LeftMargin,
            Title = FormattableString.Invariant($"Where each microphone can be believed within ± {withinDb:0.##} dB"),
            Note = "Each bar runs from the first to the last frequency at which the readings serve; where there is room, words at its ends say what ends it. \"sweep\", \"noise\", \"window\" and \"repeatability\" are no fault of the microphone: another take may show more."
                + (wanted is null ? "" : " Grey, between dashed lines: the range that is wanted; the word at the name says whether the microphone serves it."),
        };
    }

    private const string NoMicrophone = "no microphone of the survey took anything that can be used";

    private static string Label(RangeRow row) => Encode(row.Wanted is { } verdict ? $"{row.Microphone}: {verdict.Word}" : row.Microphone);

    private static IEnumerable<Trace> Row(RangeRow row, double y, LogAxis axis)
    {
        var (name, hover) = (Encode(row.Microphone), Encode(row.Sentence));
        return row.Band.IsEmpty ? [BandChart.Words(axis.FromHz, y, $"nowhere: {Short(row.Band.LowReason)}", "middle right", name, hover)]
            : BandChart.Bar(name, row.Microphone, row.Colour, row.Band, (Short(row.Band.LowReason), Short(row.Band.HighReason)), hover, y, axis);
    }

    /// <summary>One to three words for the end of a bar, from the sentence where it is the microphone's own.</summary>
    internal static string Short(Reason reason)
    {
        var sentence = reason.Sentence ?? "";
        if (reason.Doubt == Doubt.Repeats) return sentence.StartsWith("the comparison", StringComparison.Ordinal) ? "comparison" : "repeatability";
        if (reason.Doubt != Doubt.Microphone) return BandChart.Short(reason);
        if (sentence.StartsWith("it reads ", StringComparison.Ordinal) && sentence.IndexOf(" than ", StringComparison.Ordinal) is > 0 and var than) return sentence["it ".Length..than];
        return sentence.Contains("neither", StringComparison.Ordinal) ? "nothing known"
            : sentence.StartsWith("its data sheet", StringComparison.Ordinal) ? "data sheet"
            : sentence.StartsWith("its calibration", StringComparison.Ordinal) ? "calibration" : "microphone";
    }

    private static string Said(IReadOnlyList<RangeRow> rows, double withinDb)
    {
        if (rows.Count == 0) return $"There is no bar: {NoMicrophone}.";
        var ranges = string.Join("; ", rows.Select(row => $"{row.Microphone}: {(row.Band.IsEmpty ? "nowhere" : row.Band.Words)}"));
        var said = FormattableString.Invariant($"Where each microphone can be believed within ± {withinDb:0.##} dB, a bar for each. {ranges}.");
        return rows.Any(row => row.Wanted is not null)
            ? said + " " + FormattableString.Invariant($"Wanted: {new TrustedBand(rows.First(row => row.Wanted is not null).Wanted!.Value.FromHz, rows.First(row => row.Wanted is not null).Wanted!.Value.ToHz, default, default).Words}. ")
                + string.Join("; ", rows.Where(row => row.Wanted is not null).Select(row => $"{row.Microphone}: {row.Wanted!.Value.Word}")) + "."
            : said;
    }
}
