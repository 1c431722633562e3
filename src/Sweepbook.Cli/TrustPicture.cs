// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Sweepbook.Cli;

/// <summary>One bar of the picture: what was measured, from where to where it can be believed, and why no further.</summary>
internal readonly record struct TrustBar(string Source, string Seat, string Setting, double FromHz, double ToHz, string LowReason, string HighReason);

/// <summary>The first screen's picture in letters: a bar per source and seat over a logarithmic frequency axis, the reason at each end.</summary>
internal static class TrustPicture
{
    private const int LongestLabel = 28;

    /// <summary>The picture, at most <paramref name="width"/> columns wide; empty without bars.</summary>
    public static IEnumerable<string> Lines(IReadOnlyList<TrustBar> bars, int width)
    {
        if (bars.Count == 0) yield break;
        var labels = Labels(bars);
        var labelWidth = Math.Min(LongestLabel, labels.Max(label => label.Length));
        var believed = bars.Where(bar => bar.FromHz <= bar.ToHz).ToList();
        var axis = Axis.Around(believed, Math.Max(8, width - labelWidth - 2 - "  20.5–20000 Hz".Length));

        yield return $"{"".PadRight(labelWidth)}  {axis.Ticks()}";
        TrustBar? previous = null;
        foreach (var (k, bar) in bars.Index())
        {
            var label = labels[k].Length > labelWidth ? labels[k][..(labelWidth - 1)] + "…" : labels[k];
            var isEmpty = !(bar.FromHz <= bar.ToHz);
            yield return $"{label.PadRight(labelWidth)}  {axis.Draw(bar)}  {(isEmpty ? "nothing" : $"{Short(bar.FromHz)}–{Short(bar.ToHz)} Hz")}";
            if (previous is { } before && (before.LowReason, before.HighReason) == (bar.LowReason, bar.HighReason)) continue;
            previous = bar;
            var reasons = isEmpty || bar.LowReason == bar.HighReason ? bar.LowReason : $"from: {bar.LowReason}; to: {bar.HighReason}";
            foreach (var line in Wrapped.Lines(reasons, width, "    ", "    ")) yield return line;
        }
    }

    private static List<string> Labels(IReadOnlyList<TrustBar> bars)
    {
        var severalSettings = bars.Select(bar => bar.Setting).Distinct().Count() > 1;
        return [.. bars.Select(bar => $"{bar.Source} {bar.Seat} {(severalSettings ? bar.Setting : "")}".TrimEnd())];
    }

    private static string Short(double frequencyHz) =>
        frequencyHz.ToString(frequencyHz < 100 ? "0.#" : "0", CultureInfo.InvariantCulture);

    private sealed class Axis(int firstDecade, int lastDecade, int columns)
    {
        public static Axis Around(List<TrustBar> bars, int columns)
        {
            var from = bars.Count == 0 ? 10 : bars.Min(bar => bar.FromHz);
            var to = bars.Count == 0 ? 20000 : bars.Max(bar => bar.ToHz);
            var first = (int)Math.Floor(Math.Log10(Math.Max(from, 1)));
            return new(first, Math.Max(first + 1, (int)Math.Ceiling(Math.Log10(to) - 1e-9)), columns);
        }

        public string Ticks()
        {
            var line = new string(' ', columns).ToCharArray();
            for (var decade = firstDecade; decade <= lastDecade; decade++)
            {
                var text = decade < 3 ? $"{Math.Pow(10, decade):0}" : $"{Math.Pow(10, decade - 3):0}k";
                var start = Math.Min(Column(Math.Pow(10, decade)), columns - text.Length);
                text.CopyTo(0, line, start, text.Length);
            }
            return new(line);
        }

        public string Draw(TrustBar bar)
        {
            var line = new string('·', columns).ToCharArray();
            if (bar.FromHz <= bar.ToHz)
                for (var k = Column(bar.FromHz); k <= Column(bar.ToHz); k++) line[k] = '█';
            return new(line);
        }

        private int Column(double frequencyHz) =>
            Math.Clamp((int)Math.Round((Math.Log10(frequencyHz) - firstDecade) / (lastDecade - firstDecade) * (columns - 1)), 0, columns - 1);
    }
}
