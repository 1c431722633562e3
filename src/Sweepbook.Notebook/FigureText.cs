// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Net;
using System.Text;
using System.Text.Json;
using System.Text.RegularExpressions;
using Plotly.NET;

namespace Sweepbook.Notebook;

/// <summary>A figure as text: its title and finding, and for every curve its length, its ranges and its mean, so that a number that changed is seen.</summary>
internal static partial class FigureText
{
    public static string Of(Figure figure)
    {
        var text = new StringBuilder();
        if (figure.Title.Length > 0) text.Append(figure.Title).Append('\n');
        text.Append(figure.TextAlternative).Append('\n');
        using var drawn = JsonDocument.Parse(GenericChart.toFigureJson(figure.Chart));
        var layout = drawn.RootElement.GetProperty("layout");
        var number = 0;
        var bar = "";
        foreach (var trace in drawn.RootElement.GetProperty("data").EnumerateArray())
        {
            if (Name(trace, "mode") == "text") continue;   // words beside a curve hold no number of their own
            if (bar.Length > 0 && Name(trace, "name") == bar) continue;   // the edges of the bar before
            bar = Name(trace, "type") == "bar" ? Name(trace, "name") : "";
            text.Append("  ").Append(Curve(trace, layout, ++number)).Append('\n');
        }
        if (figure.Note.Length > 0) text.Append(figure.Note).Append('\n');
        return text.Append("From this file: ").Append(figure.FromFile).ToString();
    }

    private const double Faint = 0.5;   // opacity

    private static string Curve(JsonElement trace, JsonElement layout, int number)
    {
        var line = new StringBuilder(Name(trace, "name") is { Length: > 0 } name ? name : $"{(Name(trace, "type") == "heatmap" ? "map" : "curve")} {number.ToString(CultureInfo.InvariantCulture)}");
        if (trace.TryGetProperty("opacity", out var opacity) && opacity.ValueKind == JsonValueKind.Number && opacity.GetDouble() < Faint) line.Append(" (faint)");
        line.Append(':');
        var points = false;
        foreach (var axis in new[] { "x", "y", "z" })
        {
            if (!trace.TryGetProperty(axis, out var values) || values.ValueKind != JsonValueKind.Array) continue;
            var found = new Reading();
            found.Take(values);
            if (axis == "x" && trace.TryGetProperty("base", out var starts)) found = found.From(starts);
            if (!points) line.Append(Points(values.GetArrayLength()));
            points = true;
            line.Append(", ").Append(axis).Append(' ').Append(found.Words(AxisOf(trace, layout, axis), withMean: axis != "x"));
        }
        return points ? line.ToString() : line.Append(" no points").ToString();
    }

    private static string Points(int count) => count == 1 ? " 1 point" : string.Create(CultureInfo.InvariantCulture, $" {count} points");

    // "Frequency (Hz)" → Hz, "Level (dB, relative to 1 m)" → dB; where places have names, the names
    private static Scale AxisOf(JsonElement trace, JsonElement layout, string axis)
    {
        var key = axis + "axis";
        if (Name(trace, key) is { Length: > 1 } other) key += other[1..];
        if (!layout.TryGetProperty(key, out var part)) return new("", []);
        var title = part.TryGetProperty("title", out var found) ? found.ValueKind == JsonValueKind.Object ? Name(found, "text") : Plain(found.ToString()) : "";
        var unit = Unit().Match(title) is { Success: true } match ? " " + match.Groups["unit"].Value.Trim() : "";
        if (Name(part, "type") == "log" || !part.TryGetProperty("ticktext", out var names) || !part.TryGetProperty("tickvals", out var places)) return new(unit, []);
        return new(unit, [.. places.EnumerateArray().Zip(names.EnumerateArray()).Where(tick => tick.First.ValueKind == JsonValueKind.Number).Select(tick => (tick.First.GetDouble(), Plain(tick.Second.ToString())))]);
    }

    private static string Name(JsonElement of, string key) => of.TryGetProperty(key, out var value) && value.ValueKind == JsonValueKind.String
        ? Plain(value.GetString()!) : "";

    private static string Plain(string text) => WebUtility.HtmlDecode(text.Replace("<br>", " "));

    [GeneratedRegex(@"\((?<unit>[^(),]+)(,[^()]*)?\)\s*$")]
    private static partial Regex Unit();

    /// <summary>What one coordinate of a curve comes to; gaps are counted out.</summary>
    private sealed class Reading
    {
        private double _lowest = double.PositiveInfinity, _highest = double.NegativeInfinity, _sum;
        private readonly HashSet<string> _words = [];

        public int Count { get; private set; }

        public void Take(JsonElement values)
        {
            foreach (var value in values.EnumerateArray())
            {
                switch (value.ValueKind)
                {
                    case JsonValueKind.Array:
                        Take(value);
                        break;
                    case JsonValueKind.Number:
                        var number = value.GetDouble();
                        (_lowest, _highest, _sum, Count) = (Math.Min(_lowest, number), Math.Max(_highest, number), _sum + number, Count + 1);
                        break;
                    case JsonValueKind.String when value.GetString() is { } word && word is not ("NaN" or "Infinity" or "-Infinity"):
                        _words.Add(word);
                        break;
                }
            }
        }

        /// <summary>What adds up to nothing but for rounding is nothing.</summary>
        private double Mean => Math.Abs(_sum / Count) < 1e-9 * Math.Max(Math.Abs(_lowest), Math.Abs(_highest)) ? 0 : _sum / Count;

        /// <summary>Bars that begin elsewhere than at zero, from their first beginning to their last end.</summary>
        public Reading From(JsonElement starts)
        {
            var ends = new Reading();
            ends.Take(starts);
            (ends._highest, ends._sum) = (ends._highest + _highest, ends._sum + _sum);
            return ends;
        }

        public string Words(Scale scale, bool withMean) => (Count, _words.Count) switch
        {
            (0, 0) => "without a value",
            (0, _) => $"{_words.Count.ToString(CultureInfo.InvariantCulture)} names",
            _ when _lowest == _highest => scale.Places.Count > 0 ? $"at {scale.Behind(_lowest, _highest).Trim(' ', '(', ')')}" : $"{Digits(_lowest)}{scale.Behind(_lowest, _highest)}",
            _ => $"{Digits(_lowest)} to {Digits(_highest)}{scale.Behind(_lowest, _highest)}{(withMean ? $", mean {Digits(Mean)}" : "")}",
        };

        private static string Digits(double value) => value.ToString("G6", CultureInfo.InvariantCulture);
    }

    /// <summary>What stands behind the numbers of an axis: its unit, or the names of the places next to both ends.</summary>
    private sealed record Scale(string Unit, IReadOnlyList<(double At, string Name)> Places)
    {
        public string Behind(double from, double to)
        {
            if (Places.Count == 0) return Unit;
            var (first, last) = (Nearest(from), Nearest(to));
            return $" ({(first == last ? first : $"{first} to {last}")}{Unit})";
        }

        private string Nearest(double value) => Places.MinBy(place => Math.Abs(place.At - value)).Name;
    }
}
