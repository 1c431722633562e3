// SPDX-License-Identifier: MIT
using Sweepbook.Notebook;
using Sweepbook.Trust;

namespace Sweepbook.Cli;

/// <summary>One bar of the picture: what was measured, from where to where it can be believed, and why no further.</summary>
internal readonly record struct TrustBar(string Source, string Seat, string Setting, double FromHz, double ToHz, string LowReason, string HighReason, string Microphone = "");

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
        var axis = Axis.Around(believed, Math.Max(8, width - labelWidth - 2 - "  20.5 Hz–19.9 kHz".Length));

        yield return $"{"".PadRight(labelWidth)}  {axis.Ticks()}".TrimEnd();
        TrustBar? previous = null;
        foreach (var (k, bar) in bars.Index())
        {
            var label = labels[k].Length > labelWidth ? labels[k][..(labelWidth - 1)] + "…" : labels[k];
            var isEmpty = !(bar.FromHz <= bar.ToHz);
            yield return $"{label.PadRight(labelWidth)}  {axis.Draw(bar)}  {new TrustedBand(bar.FromHz, bar.ToHz, default, default).Words.Replace(" to ", "–", StringComparison.Ordinal)}";
            if (previous is { } before && (before.LowReason, before.HighReason) == (bar.LowReason, bar.HighReason)) continue;
            previous = bar;
            var reasons = isEmpty ? bar.LowReason : bar.LowReason == bar.HighReason ? $"both ends: {bar.LowReason}" : $"from: {bar.LowReason}; to: {bar.HighReason}";
            foreach (var line in Wrapped.Lines(reasons, width, "    ", "    ")) yield return line;
        }
    }

    private static List<string> Labels(IReadOnlyList<TrustBar> bars)
    {
        var severalSettings = bars.Select(bar => bar.Setting).Distinct().Count() > 1;
        var severalMicrophones = bars.Select(bar => bar.Microphone).Distinct().Count() > 1;
        return [.. bars.Select(bar => string.Join(' ', new[] { bar.Source, bar.Seat, severalSettings ? bar.Setting : "", severalMicrophones ? bar.Microphone : "" }.Where(word => word.Length > 0)))];
    }

    private sealed class Axis(double fromHz, double toHz, int columns)
    {
        /// <summary>The tightest axis from a 1-2-5 frequency to a 1-2-5 frequency that holds all bars; 10 Hz to 20 kHz where there is none.</summary>
        public static Axis Around(List<TrustBar> bars, int columns)
        {
            var axis = bars.Count == 0 ? new LogAxis(10, 20_000) : LogAxis.Around(bars.Min(bar => bar.FromHz) / 1.001, bars.Max(bar => bar.ToHz) * 1.001);
            return new(axis.FromHz, axis.ToHz, columns);
        }

        public string Ticks()
        {
            var line = new string(' ', columns).ToCharArray();
            foreach (var tick in new LogAxis(fromHz, toHz).TicksHz.Where(tick => Math.Abs(Math.Log10(tick) - Math.Round(Math.Log10(tick))) < 1e-9))
            {
                var text = tick < 1000 ? $"{tick:0}" : $"{tick / 1000:0}k";
                var start = Math.Min(Column(tick), columns - text.Length);
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
            Math.Clamp((int)Math.Round(Math.Log10(frequencyHz / fromHz) / Math.Log10(toHz / fromHz) * (columns - 1)), 0, columns - 1);
    }
}
