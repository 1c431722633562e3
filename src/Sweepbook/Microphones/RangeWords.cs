// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Trust;

namespace Sweepbook.Microphones;

/// <summary>Ranges and verdicts in sentences.</summary>
internal static class RangeWords
{
    private const int MostStretches = 3;

    /// <summary>The range, without its full stop.</summary>
    internal static string Of(MicrophoneRange range)
    {
        var within = Within(range);
        if (range.Band.IsEmpty)
        {
            var (limit, reason) = Commonest(range);
            return limit switch
            {
                RangeLimit.Unknown => $"Whether {range.Microphone} can be believed {within} is not known, because {reason}",
                RangeLimit.Measurement => $"No take shows where {range.Microphone} can be believed {within}: {reason}",
                _ => $"{range.Microphone} can be believed {within} nowhere, because {reason}",
            };
        }
        var (low, high) = (End(range.LowLimit, range.LowReason), End(range.HighLimit, range.HighReason));
        return $"{range.Microphone} can be believed {within} {(range.FromHz < range.ToHz ? "from" : "at")} {range.Band.Words}: {(low == high ? $"below and above, {low}" : $"below, {low}; above, {high}")}";
    }

    /// <summary>What to add where the calibration is due; it follows a sentence that has no full stop yet.</summary>
    internal static string Age(StatedRange stated) => stated.CalibrationYears >= CalibrationDrift.RenewedAfterYears
        ? Text($"; its calibration was {stated.CalibrationYears:0.0} years old, and calibrations are renewed about every {CalibrationDrift.RenewedAfterYears} years")
        : "";

    internal static RangeVerdict Verdict(MicrophoneRange range, double fromHz, double toHz)
    {
        var failing = Failing(range, fromHz, toHz);
        var wanted = $"{(fromHz < toHz ? "from" : "at")} {new TrustedBand(fromHz, toHz, default, default).Words} {Within(range)}";
        if (failing.Count == 0) return new(fromHz, toHz, true, true, $"{range.Microphone} serves {wanted}.");
        var own = failing.Where(stretch => stretch.Limit == RangeLimit.Microphone).ToList();
        if (own.Count > 0)
            return new(fromHz, toHz, false, true, $"{range.Microphone} does not serve {wanted} ({Listed(own)}). Use another microphone there, or have this one calibrated.");
        return new(fromHz, toHz, false, false,
            $"It is not shown whether {range.Microphone} serves {wanted} ({Listed(failing)}). {string.Join(" ", failing.Select(stretch => Remedy(stretch.Limit, stretch.Reason)).Distinct())}");
    }

    /// <summary>Stretches of the wanted range in which the readings do not serve, bridged gaps left out; cut at a change of whose limit it is, or of the kind of doubt.</summary>
    private static List<(RangeLimit Limit, TrustedBand Where, Reason Reason)> Failing(MicrophoneRange range, double fromHz, double toHz)
    {
        var (gaps, stretches) = (range.Mask.Gaps(), new List<(RangeLimit Limit, TrustedBand Where, Reason Reason)>());
        var previous = -1;
        foreach (var k in Wanted(range, fromHz, toHz).Where(k => range.LimitAt(k) != RangeLimit.None && !(fromHz < toHz && gaps.Any(gap => gap.Contains(range.Grid[k])))))
        {
            var (limit, reason, hertz) = (range.LimitAt(k), range.Mask.ReasonAt(k), range.Grid[k]);
            if (stretches.Count > 0 && previous == k - 1 && stretches[^1].Limit == limit && stretches[^1].Reason.Sentence == reason.Sentence)
                stretches[^1] = stretches[^1] with { Where = stretches[^1].Where with { ToHz = hertz } };
            else
                stretches.Add((limit, new(hertz, hertz, reason, reason), reason));
            previous = k;
        }
        return [.. stretches.Select(stretch => stretch with { Where = range.Snapped(stretch.Where, fromHz, toHz) })];
    }

    /// <summary>The grid points inside; the nearest one where none is.</summary>
    private static IEnumerable<int> Wanted(MicrophoneRange range, double fromHz, double toHz)
    {
        const double Slack = 1e-9;
        var (per, lowest) = (range.Grid.PointsPerOctave, range.Grid[0]);
        var (first, last) = ((int)Math.Ceiling(per * Math.Log2(fromHz / lowest) - Slack), (int)Math.Floor(per * Math.Log2(toHz / lowest) + Slack));
        if (first > last) first = last = (int)Math.Round(per * Math.Log2(Math.Sqrt(fromHz * toHz) / lowest));
        return Enumerable.Range(0, range.Grid.Count).Where(k => k >= Math.Clamp(first, 0, range.Grid.Count - 1) && k <= Math.Clamp(last, 0, range.Grid.Count - 1));
    }

    private static string Listed(List<(RangeLimit Limit, TrustedBand Where, Reason Reason)> stretches)
    {
        var parts = stretches.Take(MostStretches).Select(stretch =>
            $"{stretch.Where.Words}: {(stretch.Limit == RangeLimit.Unknown ? End(stretch.Limit, stretch.Reason.Sentence) : stretch.Reason.Sentence)}");
        return string.Join("; ", parts) + (stretches.Count > MostStretches ? Text($"; and {stretches.Count - MostStretches} more") : "");
    }

    private static string End(RangeLimit limit, string reason) => limit switch
    {
        RangeLimit.Measurement => $"no take shows more ({reason})",
        RangeLimit.Unknown => $"{reason}, and no more is known about it",
        RangeLimit.Microphone => reason,
        _ => "nothing was looked at",
    };

    private static string Remedy(RangeLimit limit, Reason reason) => (limit, reason.Doubt) switch
    {
        (RangeLimit.Unknown, _) => "Give it a calibration or its data sheet's limits and tolerance in survey.toml, or record a reference microphone at the same spot.",
        (_, Doubt.Excitation or Doubt.UpperEnd) => "Record a take whose sweep and source reach that far.",
        (_, Doubt.Noise or Doubt.Hum or Doubt.Loopback) => "Record with less noise, a longer sweep, or louder as far as ears, drivers and neighbours allow.",
        (_, Doubt.Repeats) => "Record more repeats with nothing moved between them.",
        (_, Doubt.Window or Doubt.Reflection) => "Record with a longer tail, or farther from what reflects.",
        _ => "Record again without that fault.",
    };

    /// <summary>What most of the frequencies that were played suffer from; of all where none was.</summary>
    private static (RangeLimit Limit, string Reason) Commonest(MicrophoneRange range)
    {
        var all = Enumerable.Range(0, range.Grid.Count).ToList();
        var played = all.Where(k => range.Mask.ReasonAt(k).Doubt is not (Doubt.Excitation or Doubt.UpperEnd)).ToList();
        var group = (played.Count > 0 ? played : all).GroupBy(k => (Limit: range.LimitAt(k), range.Mask.ReasonAt(k).Sentence))
            .OrderByDescending(entries => entries.Count()).ThenBy(entries => entries.First()).First();
        return (group.Key.Limit, group.Key.Sentence);
    }

    private static string Within(MicrophoneRange range) => Text($"within ± {range.WithinDb:0.##} dB");

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
