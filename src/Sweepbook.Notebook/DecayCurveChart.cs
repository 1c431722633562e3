// SPDX-License-Identifier: MIT
using System.Globalization;
using Plotly.NET;
using Sweepbook.Decay;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>The decay curve of one band with the stretches that the decay times are read from, the noise, and the moment at which the noise ends it.</summary>
internal static class DecayCurveChart
{
    private const int DrawnPoints = 500;
    private const double FallDb = 60;
    private const double UnderNoiseDb = 8;
    private const double LowestDb = -90;
    private const string Quiet = "#7f7f7f";

    public static Figure Draw(BandDecay decay, string fromFile)
    {
        var curve = decay.Curve;
        var of = decay.Band.BandsPerOctave > 0 ? $"{WithUnit(decay.Band.NominalHz)} {(decay.Band.BandsPerOctave == 1 ? "octave" : "third-octave")} band" : "all frequencies together";
        if (curve.Count == 0)
            return new(Charts.Of([], Part(("visible", false)), Part(("visible", false))), $"There is no decay curve of {of}.", fromFile) { Title = $"Decay, {of}", Height = 120 };
        var noiseDb = -decay.Edt.RangeDb;
        var lines = Lines(decay).ToArray();
        var bottom = double.IsFinite(noiseDb) ? Math.Max(LowestDb, 10 * Math.Floor((noiseDb - UnderNoiseDb) / 10)) : LowestDb;
        var shown = Math.Max(curve.EndSeconds, lines.Select(line => line.At(-FallDb)).DefaultIfEmpty(0).Max()) * 1.08;
        var traces = new List<Trace> { Curve(curve, bottom) };
        foreach (var line in lines) traces.AddRange(line.Traces(bottom, shown));
        if (double.IsFinite(noiseDb))
        {
            traces.Add(Charts.Scatter("lines", Rounded([0, shown * 1000]), Rounded([noiseDb, noiseDb]), ("line", Charts.Line(Quiet, 1.6, "dot")), ("name", "noise"), ("legendgroup", "noise"),
                ("hovertemplate", "noise, %{y:.1f} dB")));
            traces.Add(Charts.Scatter("lines", Rounded([curve.EndSeconds * 1000, curve.EndSeconds * 1000]), Rounded([bottom, 0]), ("line", Charts.Line(Quiet, 1.2, "dash")), ("name", "end of the decay"),
                ("legendgroup", "end"), ("hovertemplate", "%{x:.0f} ms: the decay meets the noise")));
        }
        var xAxis = Part(("range", new[] { 0, shown * 1000 }), ("ticks", "outside"), ("ticklen", 4), ("zeroline", false), ("automargin", false), ("showline", true),
            ("title", Part(("text", "Time after the start of the sound (ms)"), ("standoff", 8))));
        var yAxis = Part(("range", new[] { bottom, 3 }), ("dtick", 10), ("tick0", 0), ("ticks", "outside"), ("ticklen", 4), ("zeroline", false), ("automargin", false), ("showline", true),
            ("title", Part(("text", "Energy still to come (dB)"), ("standoff", 6))));
        var missing = new[] { decay.Edt, decay.T20, decay.T30 }.Where(value => !value.IsValid).Select(value => $"{Name(value.Quantity)} is not given ({value.Reason}).").ToArray();
        var curved = decay.T30.IsValid && decay.T30.Reason is { Length: > 0 } reason ? $" T30: {reason}." : "";
        var end = double.IsFinite(noiseDb) ? Words($"The noise lies {-noiseDb:0} dB below the start and takes over after {curve.EndSeconds * 1000:0} ms.") : "No noise shows before the record ends.";
        return new(Charts.Of(traces, xAxis, yAxis), $"Decay curve of the {of}. {string.Join(", ", lines.Select(line => line.Name))}. {end}{curved} {string.Join(" ", missing)}".Trim(), fromFile)
        {
            Title = $"Decay, {of}",
            Note = $"Thick: the stretch each decay time is read from; thin: the same straight line carried on to {FallDb:0} dB. {end}{curved} {string.Join(" ", missing)}".TrimEnd(),
            Height = 430,
            Legend =
            [
                new("curve", "decay curve", Palette.Colour(0), "solid"), .. lines.Select(line => new LegendEntry(line.Name, line.Name, line.Colour, line.Dash)),
                .. double.IsFinite(noiseDb) ? new LegendEntry[] { new("noise", "noise", Quiet, "dot"), new("end", "end of the decay", Quiet, "dash") } : [],
            ],
        };
    }

    internal static string Name(DecayQuantity quantity) => quantity == DecayQuantity.Edt ? "EDT" : quantity.ToString();

    private static Trace Curve(DecayCurve curve, double bottomDb)
    {
        var step = Math.Max(1, curve.Count / DrawnPoints);
        var points = Enumerable.Range(0, (curve.Count + step - 1) / step).Select(k => k * step).Append(curve.Count - 1).Distinct().Where(n => curve[n] >= bottomDb).ToArray();
        return Charts.Scatter("lines", Rounded([.. points.Select(n => curve.SecondsAt(n) * 1000)]), Rounded([.. points.Select(n => Math.Round(curve[n], 2))]), ("line", Charts.Line(Palette.Colour(0), 2)),
            ("name", "decay curve"), ("legendgroup", "curve"), ("hovertemplate", "%{x:.0f} ms, %{y:.1f} dB"));
    }

    private static IEnumerable<FitLine> Lines(BandDecay decay)
    {
        foreach (var (value, upperDb, lowerDb, place, dash) in new[] { (decay.Edt, 0.0, -10.0, 1, "dot"), (decay.T20, -5, -25, 2, "dash"), (decay.T30, -5, -35, 3, "dashdot") })
            if (value.IsValid && FitLine.Of(decay.Curve, upperDb, lowerDb, Words($"{Name(value.Quantity)} {value.Value:0.00} s"), Palette.Colour(place), dash) is { } line)
                yield return line;
    }

    private static string Words(FormattableString words) => FormattableString.Invariant(words);

    /// <summary>A straight line through a stretch of the curve; it passes through the stretch's middle, as every least-squares line does.</summary>
    private sealed record FitLine(string Name, string Colour, string Dash, DecayFit Fit, double MeanSeconds, double MeanDb)
    {
        public static FitLine? Of(DecayCurve curve, double upperDb, double lowerDb, string name, string colour, string dash)
        {
            var fit = curve.FitBetween(upperDb, lowerDb);
            var inside = Enumerable.Range(0, curve.Count).SkipWhile(n => curve[n] > upperDb).TakeWhile(n => curve[n] >= lowerDb).ToArray();
            return fit.IsEmpty || inside.Length == 0 ? null : new(name, colour, dash, fit, inside.Average(curve.SecondsAt), inside.Average(n => curve[n]));
        }

        public double At(double levelDb) => MeanSeconds - (levelDb - MeanDb) / FallDb * Fit.T60Seconds;

        public IEnumerable<Trace> Traces(double bottomDb, double longestSeconds)
        {
            var lastDb = Math.Max(Math.Max(bottomDb, -FallDb), MeanDb - (longestSeconds - MeanSeconds) / Fit.T60Seconds * FallDb);
            yield return Line(Fit.UpperDb, lastDb, 1.1, 0.7);
            yield return Line(Fit.UpperDb, Fit.LowerDb, 4, 0.75);
        }

        private Trace Line(double fromDb, double toDb, double width, double opacity) =>
            Charts.Scatter("lines", Rounded([At(fromDb) * 1000, At(toDb) * 1000]), Rounded([fromDb, toDb]), ("line", Charts.Line(Colour, width, Dash)), ("opacity", opacity), ("name", Name),
                ("legendgroup", Name), ("hovertemplate", Encode(Name)));
    }
}
