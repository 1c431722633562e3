// SPDX-License-Identifier: MIT
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>The findings of a study as sentences: five headlines first, then details and faults in the survey's order.</summary>
internal static class StudyFindings
{
    internal static IReadOnlyList<Finding> Of(Study study)
    {
        var third = ThirdHeadline(study);
        return [Believe(study), Ends(study), third, CommonZero(study), Used(study), .. DetailFindings.Of(study), .. ClockFindings.Of(study),
            .. DistortionFindings.Of(study), .. LinearityStudy.Findings(study), .. LevelFindings.Of(study), .. study.BoxFindings.Where(finding => finding.Severity != Severity.Note),
            .. ComparisonFindings.Of(study), .. MicrophoneRangeStudy.Findings(study), .. study.NearFieldFindings, .. study.RoomFindings];
    }

    /// <summary>What the room does: what lingers, how far the seats are apart, the predicted modes, the decays.</summary>
    internal static IReadOnlyList<Finding> AboutTheRoom(Study study)
    {
        var decays = DecayFindings.Of(study).ToList();
        return [.. SlowPeakFindings.Of(study), .. SeatStudy.Findings(study), .. DelayFindings.Of(study), .. RoomStudy.Findings(study), .. RoomStudy.Schroeder(study, decays), .. decays];
    }

    /// <summary>What the survey was made for: its seats; without any, its boxes or its microphones.</summary>
    private static Finding ThirdHeadline(Study study) => study.SeatResults().Count > 0 ? SeatDifference.Headline(study)
        : BoxFindings.Headline(study) ?? ComparisonFindings.Headline(study) ?? SeatDifference.Headline(study);

    private static Finding Believe(Study study)
    {
        var bands = study.Responses.GroupBy(result => result.Source).Select(group => (Source: group.Key, Band: Common(group))).ToList();
        if (bands.Count == 0)
            return new("trusted-band", Severity.Fault, "survey", double.NaN, "", "Nothing can be believed yet, because no take could be used.");
        var (good, bad) = (bands.Where(entry => !entry.Band.IsEmpty).ToList(), bands.Where(entry => entry.Band.IsEmpty).ToList());
        var hasGaps = study.Responses.Any(result => result.Response.LevelTrust.Gaps().Any(gap => bands.Exists(entry => entry.Source == result.Source && entry.Band.Contains(gap.FromHz))));
        var sentence = good.Count == 0 ? "" : $"Believe {Listed(good.Select(entry => $"{entry.Source} from {entry.Band.Words}"))}: inside these limits every {(study.Responses.All(result => result.Seat.Length > 0) ? "seat" : "response")} can be trusted{(hasGaps ? ", but for the gaps named below" : "")}.";
        if (bad.Count > 0)
            sentence += $"{(good.Count > 0 ? " " : "")}{Listed(bad.Select(entry => entry.Source))} {(bad.Count == 1 ? "has" : "have")} no frequency that may be believed {(study.Responses.All(result => result.Seat.Length > 0) ? "at every seat" : "in every response")}.";
        var narrowest = good.Count == 0 ? 0 : good.Min(entry => Math.Log2(entry.Band.ToHz / entry.Band.FromHz));
        return new("trusted-band", bad.Count == 0 ? Severity.Note : Severity.Caution, "survey", narrowest, "octaves", sentence);
    }

    private static Finding Ends(Study study)
    {
        var usable = study.Responses.Where(result => !result.LevelBand.IsEmpty).ToList();
        if (usable.Count == 0) return new("band-limits", Severity.Caution, "survey", 0, "responses", "No response has a trusted band, so there is nothing to say about its limits.");
        var (low, high) = (Commonest(usable.Select(result => result.LevelBand.LowReason)), Commonest(usable.Select(result => result.LevelBand.HighReason)));
        return new("band-limits", Severity.Note, "survey", usable.Count, "responses",
            $"Of {(usable.Count == 1 ? "1 response" : $"{usable.Count} responses")}, the lower end is set by {low}, the upper end by {high}.");

        string Commonest(IEnumerable<Reason> reasons) => Listed(reasons.GroupBy(Cause).OrderByDescending(group => group.Count()).ThenBy(group => group.Key, StringComparer.Ordinal)
            .Select(group => $"{group.Key} in {group.Count()}"));
    }

    private static Finding CommonZero(Study study)
    {
        var used = study.Takes.Where(take => take.IsUsed).ToList();
        var groups = used.Where(take => take.TimeGroup.Name is not null).GroupBy(take => take.TimeGroup.Name!).OrderByDescending(group => group.Count()).ToList();
        var without = used.Count(take => take.TimeGroup.Name is null);
        var largest = groups.Count == 0 ? 0 : groups[0].Count();
        var sentence = (groups.Count, without) switch
        {
            (0, 0) => "No take could be used, so no time zero is known.",
            (0, _) => "No take has a known time zero: levels can be compared, but nothing may be added and no arrival is given. Record the loopback next time.",
            (1, 0) when used.Count == 1 => $"The one take used has a time zero ({Word(groups[0].First().TimeZero)}): arrivals are given, and later takes of the same survey may be added to it.",
            (1, 0) => $"{(used.Count == study.Takes.Count ? "All" : "The")} {used.Count} takes{(used.Count == study.Takes.Count ? "" : " used")} share one time zero ({Word(groups[0].First().TimeZero)}), so {(study.Responses.Select(result => result.Microphone).Distinct().Count() > 1 ? "responses of one microphone" : "their responses")} may be added as complex numbers{Unmoved(used)}.",
            (1, _) => $"{largest} of {used.Count} takes share one time zero; {without} {(without == 1 ? "has" : "have")} none and may not be added to anything.",
            _ => $"The takes fall into {groups.Count} time groups; only responses of one group may be added as complex numbers.",
        };
        if (without == 0 && groups.Count > 1 && ZeroPerSeat(study, used) is { } perSeat) return perSeat;
        return new("time-zero", without > 0 || groups.Count > 1 ? Severity.Caution : Severity.Note, "survey", largest, "takes", sentence);
    }

    /// <summary>Markers give each seat a time zero of its own, and that is as it should be; null where the takes of one seat fall apart.</summary>
    private static Finding? ZeroPerSeat(Study study, List<TakeResult> used)
    {
        var seats = used.GroupBy(take => take.Take.Seat).ToList();
        if (seats.Any(seat => seat.Any(take => !take.TimeGroup.Shares(seat.First().TimeGroup)))) return null;
        var kinds = used.Select(take => take.TimeZero).Distinct().ToList();
        return new("time-zero", Severity.Note, "survey", used.Count, "takes",
            $"At each of the {seats.Count} seats the takes share one time zero{(kinds.Count == 1 ? $" ({Word(kinds[0])})" : "")}: responses of one seat may be added as complex numbers{Unmoved(used)}; those of different seats may not.");
    }

    /// <summary>What no recording can tell: a marker's way changes with whatever moves.</summary>
    private static string Unmoved(List<TakeResult> used) => used.Any(take => take.TimeZero == TimeZero.Marker) ? ", as long as nobody moved the microphone or the marker's loudspeaker between them" : "";

    private static Finding Used(Study study)
    {
        var used = study.Takes.Count(take => take.IsUsed);
        var faulty = study.Takes.Count(take => take.IsUsed && take.Faults.Count > 0);
        if (study.Takes.Count == 0)
            return new("takes-used", Severity.Fault, "survey", 0, "takes", "The survey has no take yet: record some, or check the takes pattern in survey.toml.");
        var sentence = used == study.Takes.Count
            ? used == 1 ? "The take could be used" : $"All {used} takes could be used" : $"{used} of {study.Takes.Count} takes could be used; {Listed(study.Takes.Where(take => !take.IsUsed).Take(3).Select(take => take.Take.File))} {(study.Takes.Count - used == 1 ? "was" : "were")} left out";
        if (study.Takes.Count - used > 3) sentence = $"{used} of {study.Takes.Count} takes could be used; {study.Takes.Count - used} were left out";
        sentence += faulty == 0 ? "." : $", and {faulty} of those used {(faulty == 1 ? "has" : "have")} a fault that is named below.";
        return new("takes-used", used == study.Takes.Count ? faulty == 0 ? Severity.Note : Severity.Caution : Severity.Fault, "survey", used, "takes", sentence);
    }

    /// <summary>The band in which every one of the responses may be believed.</summary>
    internal static TrustedBand Common(IEnumerable<ResponseResult> results)
    {
        var (fromHz, toHz) = (0.0, double.PositiveInfinity);
        foreach (var band in results.Select(result => result.LevelBand))
        {
            if (band.IsEmpty) return new(double.NaN, double.NaN, default, default);
            (fromHz, toHz) = (Math.Max(fromHz, band.FromHz), Math.Min(toHz, band.ToHz));
        }
        return fromHz <= toHz ? new(fromHz, toHz, default, default) : new(double.NaN, double.NaN, default, default);
    }

    /// <summary>"a", "a and b", "a, b and c".</summary>
    internal static string Listed(IEnumerable<string> items)
    {
        var all = items.ToList();
        return all.Count switch { 0 => "", 1 => all[0], _ => $"{string.Join(", ", all.Take(all.Count - 1))} and {all[^1]}" };
    }

    private static string Word(TimeZero timeZero) => timeZero.ToString().ToLowerInvariant();

    internal static string Cause(Reason reason) => reason.Doubt switch
    {
        Doubt.Excitation or Doubt.UpperEnd => "the sweep",
        Doubt.Loopback => "the loopback's noise",
        Doubt.Noise => "noise",
        Doubt.Hum => "mains hum",
        Doubt.Window => "the time window",
        Doubt.Reflection => "the first reflection",
        Doubt.Microphone => "the microphone",
        Doubt.Recording => "a damaged recording",
        Doubt.Repeats => "repeats that disagree",
        Doubt.LevelDependent => "a source that depends on its level",
        Doubt.TimeZero => "the time zero",
        Doubt.NearField => "the near field",
        _ => "the frequencies evaluated",
    };
}
