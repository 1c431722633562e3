// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Seats;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Before and after: two surveys, or two settings of one, and which of their differences are real.</summary>
/// <remarks>
/// Compared is what both have: source, seat, microphone, stimulus and drive must agree. Every figure comes with what else explains a change of it: noise and drift as the takes show them, and a microphone that
/// was taken away and put back. Where the level references differ, shapes are compared and no levels. Misleads where the takes are single ones, whose repeatability is noise only, and where something else
/// changed meanwhile (a door, a person, the weather): a comparison shows that something changed and never what. Source: beside each kind of row.
/// </remarks>
public sealed class StudyComparison
{
    private readonly IReadOnlyList<ChangePair> _pairs;
    private readonly ChangeContext _context;

    private StudyComparison(ChangeContext context)
    {
        _context = context;
        (_pairs, var without) = ChangePairs.Of(context.Before, context.After);
        IReadOnlyList<SeatChange> rows = [.. _pairs.SelectMany(pair => LevelChanges.Of(pair, context)), .. SpreadChanges.Of(_pairs, context), .. DecayChanges.Of(_pairs, context),
            .. _pairs.Where(pair => pair.Before.Seat.Length > 0).SelectMany(PeakChanges.Of), .. DelayChanges.Of(_pairs, context)];
        Changes = [.. rows.Where(row => row.IsCompared)];
        NotCompared = [.. without, .. rows.Where(row => !row.IsCompared)];
        Findings = ChangeFindings.Of(this);
    }

    /// <summary>Before.</summary>
    public Study Before => _context.Before.Study;

    /// <summary>After; the same study as <see cref="Before"/> where two settings of one survey are compared.</summary>
    public Study After => _context.After.Study;

    /// <summary>Id of the setting before.</summary>
    public string BeforeSetting => _context.Before.Setting;

    /// <summary>Id of the setting after.</summary>
    public string AfterSetting => _context.After.Setting;

    /// <summary>True where two folders are compared; false for two settings of one survey.</summary>
    public bool AreTwoSurveys => _context.AreTwoSurveys;

    /// <summary>The responses that were compared, in the order of the survey before.</summary>
    public IReadOnlyList<(ResponseResult Before, ResponseResult After)> Pairs => [.. _pairs.Select(pair => (pair.Before, pair.After))];

    /// <summary>Every figure that both sides have: levels first, then spread, decays, slow peaks and delays.</summary>
    public IReadOnlyList<SeatChange> Changes { get; }

    /// <summary>What could not be compared, each with its reason.</summary>
    public IReadOnlyList<SeatChange> NotCompared { get; }

    /// <summary>What there is to say; the first <see cref="Study.Headlines"/> belong on the first screen.</summary>
    public IReadOnlyList<Finding> Findings { get; }

    internal IReadOnlyList<ChangePair> ComparedPairs => _pairs;

    /// <summary>True where the microphone stood untouched, so that its place explains no change; see <see cref="MicrophoneUntouched"/>.</summary>
    public bool IsMicrophoneUntouched => !_context.IsPutBack;

    /// <summary>Compares two studies.</summary>
    /// <param name="before">Before.</param>
    /// <param name="after">After; the same study for two of its settings.</param>
    /// <param name="beforeSetting">Id of the setting before; null or empty where there is only one, or of two the first of the survey.</param>
    /// <param name="afterSetting">Id of the setting after; null or empty where there is only one, or of two the second.</param>
    /// <returns>The comparison; where nothing could be compared it says why.</returns>
    /// <exception cref="ArgumentException">A setting has no take, more than one could be meant, or a setting would be compared with itself; the message says which there are.</exception>
    /// <remarks>For what misleads see the class. Source: beside each kind of row.</remarks>
    public static StudyComparison Of(Study before, Study after, string? beforeSetting = null, string? afterSetting = null)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        var (first, second) = SettingsOf(before.Survey, after.Survey, beforeSetting, afterSetting);
        return new(new(new(before, first), new(after, second), true));
    }

    /// <summary>The same comparison where the microphone stood untouched at each place from before to after: its place then explains no change.</summary>
    /// <returns>A new comparison.</returns>
    /// <remarks>Misleads where somebody did move it, by a hand's breadth even: above some hundred hertz every change is then called real. Source: own definition.</remarks>
    public StudyComparison MicrophoneUntouched() => new(_context with { IsPutBack = false });

    /// <summary>Writes <c>comparison.csv</c>, <c>findings.csv</c> and <c>provenance.json</c>.</summary>
    /// <param name="folder">Where to; it is created where missing. It may not lie inside a survey.</param>
    /// <returns>The names of the files written.</returns>
    /// <exception cref="DataFault">The folder lies inside a survey, or a file cannot be written.</exception>
    public IReadOnlyList<string> WriteTables(string folder)
    {
        After.RefuseInside(folder);
        var full = Before.ResultsFolder(folder);
        ChangeTable.Of(this).Write(Path.Combine(full, ChangeTable.FileName));
        StudyTables.Findings(Findings).Write(Path.Combine(full, "findings.csv"));
        Provenance.Write(this, Path.Combine(full, "provenance.json"));
        return [ChangeTable.FileName, "findings.csv", "provenance.json"];
    }

    /// <summary>The settings that are meant, from what the surveys hold.</summary>
    internal static (string Before, string After) SettingsOf(Survey before, Survey after, string? beforeSetting, string? afterSetting)
    {
        var isOne = ChangeContext.IsOne(before, after);
        var (mine, theirs) = (Used(before), Used(after));
        if (isOne && string.IsNullOrEmpty(beforeSetting) && string.IsNullOrEmpty(afterSetting))
            return mine.Count == 2 ? (mine[0], mine[1]) : throw new ArgumentException(mine.Count < 2
                ? $"{before.Title} has takes in {(mine.Count == 0 ? "no setting" : $"one setting only ({mine[0]})")}, so there is nothing to compare it with. Name a second survey, or measure a second setting."
                : $"{before.Title} has takes in {mine.Count} settings ({StudyFindings.Listed(mine)}). Say which two are meant: --settings {mine[0]},{mine[^1]}");
        var (first, second) = (Chosen(before, mine, beforeSetting, "before"), Chosen(after, theirs, afterSetting, "after"));
        return !isOne || first != second ? (first, second) : throw new ArgumentException($"{before.Title} would be compared with itself in the setting \"{first}\". Name two settings, or another survey.");
    }

    private static string Chosen(Survey survey, List<string> used, string? wanted, string when)
    {
        if (!string.IsNullOrEmpty(wanted))
            return used.Contains(wanted) ? wanted : throw new ArgumentException($"{survey.Title} has no take in the setting \"{wanted}\"; it has {(used.Count == 0 ? "none at all" : StudyFindings.Listed(used))}.");
        return used.Count == 1 ? used[0] : throw new ArgumentException(used.Count == 0
            ? $"{survey.Title} has no take in use. Record some, or name another survey."
            : $"{survey.Title} has takes in {used.Count} settings ({StudyFindings.Listed(used)}). Say which one is meant {when}, with --settings BEFORE,AFTER.");
    }

    /// <summary>Settings that have takes, in the order of the survey; how the system was found comes before all others.</summary>
    private static List<string> Used(Survey survey) =>
        [.. survey.Settings.Select(setting => setting.Id).Concat(survey.Takes.Select(take => take.Setting)).Distinct().Where(id => survey.Takes.Any(take => take.Use && take.Setting == id)).OrderBy(id => id == Setting.AsFoundId ? 0 : 1)];
}
