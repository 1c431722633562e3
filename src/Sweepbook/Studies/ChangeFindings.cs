// SPDX-License-Identifier: MIT
using MathNet.Numerics.Statistics;
using Sweepbook.Quantities;
using Sweepbook.Seats;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>What a comparison comes to, as sentences: five for the first screen, then source by source, then what could not be compared.</summary>
/// <remarks>
/// A single band beyond its limits is what chance gives once in twenty, and neighbours share some of their errors. A sentence therefore speaks of a source only where two neighbouring third octaves
/// changed the same way at two places or more, or three at one; of a source with fewer bands or one place, all or two. The table has every band. Source: own choice.
/// </remarks>
internal static class ChangeFindings
{
    internal static IReadOnlyList<Finding> Of(StudyComparison comparison)
    {
        if (comparison.Pairs.Count == 0)
            return [new("compared", Severity.Fault, "comparison", 0, "responses", $"Nothing could be compared: {Sentence(CommonestReason(comparison))}"), .. NotCompared(comparison)];
        var sources = comparison.ComparedPairs.GroupBy(pair => pair.Before.Source).Select(group => new SourceChange(group.Key, [.. group], comparison)).ToList();
        return [Compared(comparison), Levels(comparison, sources), .. Spreads(comparison, true).Take(1), Lasting(comparison), Basis(comparison),
            .. sources.Where(source => source.Seats.Count > 0).Select(source => source.Finding), .. Spreads(comparison, false), .. Peaks(comparison), .. sources.Where(source => source.Seats.Count > 0).SelectMany(source => WentOrCame(comparison, source.Name)), .. Delays(comparison), .. Remarks(comparison), .. NotCompared(comparison)];
    }

    private static Finding Compared(StudyComparison comparison)
    {
        var pairs = comparison.ComparedPairs;
        var (sources, seats) = (pairs.Select(pair => pair.Before.Source).Distinct().Count(), pairs.Where(pair => pair.Before.Seat.Length > 0).Select(pair => pair.Before.Seat).Distinct().Count());
        var sides = comparison.AreTwoSurveys
            ? $"{Quoted(comparison.Before.Survey, comparison.BeforeSetting)} and {Quoted(comparison.After.Survey, comparison.AfterSetting)}"
            : $"the settings {comparison.BeforeSetting} and {comparison.AfterSetting} of {comparison.Before.Survey.Title}";
        var left = comparison.NotCompared.Count(row => row.Unit.Length == 0);
        var shape = pairs.Count(pair => pair.WhyShapeOnly is not null);
        var why = pairs.FirstOrDefault(pair => pair.WhyShapeOnly is not null)?.WhyShapeOnly;
        return new("compared", left > 0 || shape > 0 ? Severity.Caution : Severity.Note, "comparison", pairs.Count, "responses",
            $"Compared are {sides}: {Number(sources, "source")}{(seats > 0 ? $" at {Number(seats, "seat")}" : "")}, {Number(pairs.Count, "response")} each"
            + (shape == 0 ? "." : $"; {(shape == pairs.Count ? "" : $"of {shape} of them ")}only the shape, because {why}.")
            + (left == 0 ? "" : $" {Number(left, "response")} {(left == 1 ? "has" : "have")} no counterpart: {Sentence(CommonestReason(comparison))}"));
    }

    /// <summary>Title, day and setting: two surveys of one room often have the same title.</summary>
    private static string Quoted(Surveys.Survey survey, string setting) =>
        $"\"{survey.Title}\"{(survey.Date is { } day ? $" of {day.ToString("d MMMM yyyy", System.Globalization.CultureInfo.InvariantCulture)}" : "")}{(setting == Surveys.Setting.AsFoundId ? "" : $" ({setting})")}";

    private static Finding Levels(StudyComparison comparison, List<SourceChange> sources)
    {
        var (changed, same) = (sources.Where(source => source.Seats.Count > 0).ToList(), sources.Where(source => source.Seats.Count == 0).ToList());
        var what = comparison.ComparedPairs.All(pair => pair.WhyShapeOnly is not null) ? "shape" : "level";
        var explained = comparison.IsMicrophoneUntouched ? "noise explains" : "noise and a microphone put back explain";
        var sentence = changed.Count == 0 ? $"No source changed its {what} by more than {explained}."
            : $"Beyond what {explained}, {StudyFindings.Listed(changed.Select(source => source.InWords))}.{(same.Count == 0 ? "" : $" No change is shown for {StudyFindings.Listed(same.Select(source => source.Name))}.")}";
        return new("level-change", Severity.Note, "comparison", changed.Count, "sources", sentence);
    }

    /// <summary>The seats of each source: for the first screen of that whose spread changed the most.</summary>
    private static IEnumerable<Finding> Spreads(StudyComparison comparison, bool isHeadline)
    {
        var rows = comparison.Changes.Where(row => row.Quantity == ChangedQuantity.Spread).OrderByDescending(row => row.IsSignificant).ThenByDescending(row => Math.Abs(row.Difference)).ToList();
        return (isHeadline ? rows.Take(1) : rows.Skip(1)).Select(row => new Finding("spread-change", Severity.Note, row.Source, row.Difference, "dB", FormattableString.Invariant(
            $"With {row.Source} the seats differed by {row.Before:0.0} dB from {row.Label} before and differ by {row.After:0.0} dB after: {(row.IsSignificant ? row.Difference < 0 ? "they have come closer" : "they have moved apart" : "no change is shown")} ({Signed(row.Difference)} dB, {(row.Limit > 0 ? FormattableString.Invariant($"± {row.Limit:0.0} dB is explained otherwise") : "and what explains it otherwise is not known")}).")));
    }

    private const double ByChance = 0.05;   // what a limit that holds 95 % leaves out; neighbours share some of their errors, so it is no sharp bound

    private static Finding Lasting(StudyComparison comparison)
    {
        var decays = comparison.Changes.Where(row => row.Quantity is ChangedQuantity.T20 or ChangedQuantity.Edt && row.Seat != DecayResult.MeanSeat).ToList();
        var peaks = comparison.Changes.Where(row => row.Quantity == ChangedQuantity.SlowPeak).ToList();
        var (moved, lasting) = (decays.Where(row => row.IsSignificant).ToList(), peaks.Where(row => row.IsSignificant).ToList());
        var sentence = decays.Count == 0 ? "No decay time is known both before and after."
            : moved.Count == 0 ? $"No decay time of {Number(decays.Count, "octave figure")} changed by more than chance gives."
            : FormattableString.Invariant($"{moved.Count} of {Number(decays.Count, "octave figure")} of the decay {(moved.Count == 1 ? "lies" : "lie")} beyond {(moved.Count == 1 ? "its limit" : "their limits")}, where chance alone gives up to {Math.Ceiling(ByChance * decays.Count):0}; farthest {Figure(moved.MaxBy(row => Math.Abs(Math.Log(row.After / row.Before))))}.");
        var sure = peaks.Count(row => double.IsFinite(row.Repeatability));
        if (sure > 0)
            sentence += lasting.Count == 0 ? $" Of {Number(sure, "slow peak")} of the bass with a sure decay both times none changed." : $" {lasting.Count} of {Number(sure, "slow peak")} of the bass with a sure decay both times changed: {Peak(lasting.MaxBy(row => Math.Abs(row.Difference)))}.";
        return new("decay-change", Severity.Note, "comparison", moved.Count + lasting.Count, "figures", sentence);

        static string Figure(SeatChange row) => FormattableString.Invariant($"the {row.Quantity.ToString().ToUpperInvariant()} of {row.Source} at {row.Seat} in the octave of {row.Label} Hz, {row.Before:0.00} s before and {row.After:0.00} s after");
    }

    private static string Peak(SeatChange row) => FormattableString.Invariant($"{row.Label} Hz with {row.Source} at {row.Seat} took {row.Before:0.00} s to fall by 60 dB before and takes {row.After:0.00} s after{(row.Reason.Length > 0 ? $" ({row.Reason})" : "")}");

    /// <summary>What the limits rest on.</summary>
    private static Finding Basis(StudyComparison comparison)
    {
        var pairs = comparison.ComparedPairs;
        var single = pairs.Count(pair => Math.Min(pair.Before.Repeats, pair.After.Repeats) < 2);
        var placed = comparison.IsMicrophoneUntouched ? " The microphone is taken to have stood untouched: where it was moved after all, changes above some hundred hertz are its own." : " What a microphone put back within 5 cm explains is a model.";
        return new("comparison-basis", single > 0 ? Severity.Caution : Severity.Note, "comparison", single, "responses", single == 0
            ? $"All responses have repeats, so the limits hold what changes from take to take.{placed}"
            : $"{(single == pairs.Count ? "All pairs rest" : single == 1 ? $"1 of {pairs.Count} pairs rests" : $"{single} of {pairs.Count} pairs rest")} on single takes: their limits hold noise only and not what drifts from take to take. Repeat takes to know it.{placed}");
    }

    private static IEnumerable<Finding> Peaks(StudyComparison comparison) => comparison.Changes.Where(row => row.Quantity == ChangedQuantity.SlowPeak && row.IsSignificant)
        .GroupBy(row => row.Source).Select(group => group.OrderByDescending(row => Math.Abs(row.Difference)).Take(3).ToList())
        .Select(rows => new Finding("slow-peak-change", Severity.Note, rows[0].Source, rows[0].Difference, "s", $"{Capital(StudyFindings.Listed(rows.Select(Peak)))}."));

    /// <summary>Of a source that changed, the peaks that stand out on one side only: those that lasted longest.</summary>
    private static IEnumerable<Finding> WentOrCame(StudyComparison comparison, string source)
    {
        foreach (var (only, said) in new[] { (PeakChanges.BeforeOnly, "stood out as slow before and not after"), (PeakChanges.AfterOnly, "stood out as slow after and not before") })
        {
            var rows = comparison.Changes.Concat(comparison.NotCompared).Where(row => row.Source == source && PeakChanges.WentOrCame(row) && row.Reason.StartsWith(only, StringComparison.Ordinal)).ToList();
            if (rows.Count == 0) continue;
            var longest = rows.OrderByDescending(row => only == PeakChanges.BeforeOnly ? row.Before : row.After).DistinctBy(row => row.Label).Take(3).ToList();
            var others = rows.Count == longest.Count ? "" : $", and the same goes for {Number(rows.Count - longest.Count, "other")}";
            yield return new(only == PeakChanges.BeforeOnly ? "slow-peak-went" : "slow-peak-came", Severity.Note, source, rows.Count, "peaks",
                $"With {source} {StudyFindings.Listed(longest.Select(row => $"{row.Label} Hz at {row.Seat}"))} {said}{others}.");
        }
    }

    private static IEnumerable<Finding> Delays(StudyComparison comparison)
    {
        foreach (var group in comparison.Changes.Where(row => row.Quantity == ChangedQuantity.Delay && (row.IsSignificant || row.Reason.StartsWith("polarity", StringComparison.Ordinal))).GroupBy(row => (row.Source, row.Label)))
        {
            var (moved, turned) = (group.Where(row => row.IsSignificant).ToList(), group.Where(row => row.Reason.Length > 0).ToList());
            var sentence = moved.Count == 0 ? "" : FormattableString.Invariant($"{group.Key.Source} is {Math.Abs(moved.Select(row => row.Difference).Median()):0.00} ms {(moved.Select(row => row.Difference).Median() > 0 ? "later" : "earlier")} beside {group.Key.Label} than before (median of {Number(moved.Count, "seat")}).");
            if (turned.Count > 0) sentence += $"{(sentence.Length > 0 ? " " : "")}Its polarity beside {group.Key.Label} turned at {StudyFindings.Listed(turned.Select(row => row.Seat))}.";
            yield return new("delay-change", turned.Count > 0 ? Severity.Caution : Severity.Note, group.Key.Source, moved.Count == 0 ? double.NaN : moved.Select(row => row.Difference).Median(), "ms", sentence);
        }
    }

    /// <summary>What may explain a change besides the system.</summary>
    private static IEnumerable<Finding> Remarks(StudyComparison comparison)
    {
        if (!comparison.AreTwoSurveys) yield break;
        var ratios = comparison.ComparedPairs.Where(pair => pair.WhyShapeOnly is null && pair.Before.Response.Reference != Spectra.LevelReference.SoundPressure).ToList();
        if (ratios.Any(pair => pair.Take.InputGainDb is null))
            yield return new("gain-not-stated", Severity.Caution, "comparison", double.NaN, "", "No input gain is stated in either survey. Levels are compared as if nobody had touched it: state input_gain_db in both.");
        foreach (var microphone in ratios.Select(pair => pair.Before.Microphone).Distinct().Where(id => Calibrations(comparison, id) > CalibrationsAlikeDb))
            yield return new("calibration-differs", Severity.Caution, microphone, Calibrations(comparison, microphone), "dB", FormattableString.Invariant(
                $"The calibration of {microphone} is another one after than before, by up to {Calibrations(comparison, microphone):0.0} dB: so much of the changes may be its doing. Use one file for both."));
        var (cold, warm) = (comparison.Before.Survey.Room?.TemperatureCelsius, comparison.After.Survey.Room?.TemperatureCelsius);
        if (cold is { } before && warm is { } after && Math.Abs(after - before) > WarmerCelsius)
            yield return new("temperature-differs", Severity.Caution, "comparison", after - before, "°C", FormattableString.Invariant(
                $"The air was {Math.Abs(after - before):0.#} °C {(after > before ? "warmer" : "colder")} after, which moves every resonance {(after > before ? "up" : "down")} by {100 * Math.Abs(after - before) / 2 / (before + 273.15):0.0} %: steep parts of the curves change by it."));
    }

    private const double CalibrationsAlikeDb = 0.05, WarmerCelsius = 2;   // own choices: below them nothing is to be seen

    private static double Calibrations(StudyComparison comparison, string microphone)
    {
        var (before, after) = (comparison.ComparedPairs.First(pair => pair.Before.Microphone == microphone).Before.Takes[0], comparison.ComparedPairs.First(pair => pair.Before.Microphone == microphone).After.Takes[0]);
        var (mine, theirs) = (comparison.Before.CorrectionDbAt(before), comparison.After.CorrectionDbAt(after));
        return FrequencyBand.ThirdOctaves(10, 20_000).Max(band => Math.Abs(mine(band.CentreHz) - theirs(band.CentreHz)));
    }

    private static IEnumerable<Finding> NotCompared(StudyComparison comparison) => comparison.NotCompared.Where(row => row.Unit.Length == 0 && row.Reason.Length > 0).GroupBy(row => row.Reason)
        .Select(group => new Finding("not-compared", Severity.Caution, StudyFindings.Listed(group.Select(Place).Distinct().Take(3)), group.Count(), "responses",
            $"Not compared: {StudyFindings.Listed(group.Select(Place).Distinct().Take(3))}{(group.Select(Place).Distinct().Count() is var count and > 3 ? $" and {count - 3} more" : "")}, because {Sentence(group.Key)}"));

    private static string Place(SeatChange row) => row.Seat.Length > 0 ? $"{row.Source} at {row.Seat}" : row.Source;

    private static string CommonestReason(StudyComparison comparison) => comparison.NotCompared.Where(row => row.Unit.Length == 0 && row.Reason.Length > 0)
        .GroupBy(row => row.Reason).OrderByDescending(group => group.Count()).Select(group => group.Key).FirstOrDefault() ?? "no take of either side could be used";

    private static string Sentence(string reason) => reason.EndsWith('.') ? reason : reason + ".";

    internal static string Signed(double value) => FormattableString.Invariant($"{(value < -0.05 ? "−" : value > 0.05 ? "+" : "")}{Math.Abs(value):0.0}");

    internal static string Number(int count, string noun) => FormattableString.Invariant($"{count} {noun}{(count == 1 ? "" : "s")}");

    private static string Capital(string text) => text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..];
}
