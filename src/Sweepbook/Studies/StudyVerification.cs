// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Files;
using Sweepbook.Surveys;

namespace Sweepbook.Studies;

/// <summary>What happened to an input file since the results were computed: "changed", "missing" or "new".</summary>
internal readonly record struct InputChange(string How, string File);

/// <summary>Something that was one thing then and is another now: a version, an option.</summary>
internal readonly record struct StatedChange(string Name, string Was, string Is);

/// <summary>One table: how it compares, or why it cannot be compared.</summary>
/// <param name="Name">The file.</param>
/// <param name="Comparison">How the two compare; null where there is only one of them.</param>
/// <param name="Problem">Why they cannot be compared, in words; null where they can.</param>
internal sealed record TableVerdict(string Name, TableComparison? Comparison, string? Problem)
{
    public bool Agrees => Comparison is { Agreement: not TableAgreement.Differs };
}

/// <summary>Computes the tables of a survey again and compares them with a results folder. Nothing is written.</summary>
/// <remarks>
/// Options are those that the results state. Input files and versions are compared too, but the verdict is that of the numbers alone: a note added to <c>survey.toml</c>
/// changes the file and no number. Tables that a notebook of the user's own wrote are not looked at. Own definition; it needs no source.
/// </remarks>
internal sealed class StudyVerification
{
    private StudyVerification(Survey survey, StatedProvenance stated, IReadOnlyList<InputChange> inputs) => (Survey, Stated, Inputs) = (survey, stated, inputs);

    public Survey Survey { get; }

    public StatedProvenance Stated { get; }

    /// <summary>The input files that are not as they were: changed ones first, then missing, then new ones.</summary>
    public IReadOnlyList<InputChange> Inputs { get; }

    /// <summary>The versions that are not as they were.</summary>
    public IReadOnlyList<StatedChange> Versions { get; private init; } = [];

    /// <summary>The options that are not as they were.</summary>
    public IReadOnlyList<StatedChange> Options { get; private set; } = [];

    /// <summary>One verdict a table.</summary>
    public IReadOnlyList<TableVerdict> Tables { get; private set; } = [];

    /// <summary>True where every table is equal or agrees.</summary>
    public bool Agrees => Tables.All(table => table.Agrees);

    /// <summary>Reads what the results state and what the survey is now.</summary>
    /// <param name="results">The results folder.</param>
    /// <param name="folder">The survey folder.</param>
    /// <exception cref="DataFault">One of the folders is not what it should be, or the results belong to another survey.</exception>
    public static StudyVerification Prepare(string results, string folder)
    {
        var stated = StatedProvenance.Read(results);
        var survey = Survey.Read(folder);
        var now = Provenance.Files(survey).ToDictionary(file => file.Name, file => file.Hash, StringComparer.Ordinal);
        if (stated.SurveyTitle != survey.Title && !now.Values.Intersect(stated.Files.Values).Any())
            throw new DataFault(results, null, $"these are the results of \"{stated.SurveyTitle}\", and {folder} is \"{survey.Title}\": they have no file in common", "Name the survey that the results were computed from.");
        List<InputChange> inputs =
        [
            .. stated.Files.Where(file => now.TryGetValue(file.Key, out var hash) && hash != file.Value).Select(file => new InputChange("changed", file.Key)),
            .. stated.Files.Keys.Where(file => !now.ContainsKey(file)).Select(file => new InputChange("missing", file)),
            .. now.Keys.Where(file => !stated.Files.ContainsKey(file)).Select(file => new InputChange("new", file)),
        ];
        try
        {
            survey = survey.Wanting(stated.Wanted);
        }
        catch (ArgumentException strange)
        {
            throw new DataFault(Path.Combine(results, Provenance.FileName), null, $"its option \"{Provenance.WantedOption}\" is no range", "Somebody may have edited it. Compute the results again with `sweepbook report`.", strange);
        }
        return new(survey, stated, inputs) { Versions = [.. VersionsThatChanged(stated)] };
    }

    /// <summary>Computes and compares.</summary>
    /// <param name="results">The results folder.</param>
    /// <param name="progress">Told in words what is being done, or null.</param>
    /// <exception cref="DataFault">A stimulus or calibration file cannot be used.</exception>
    public void Compare(string results, IProgress<string>? progress = null)
    {
        var study = Study.Of(Survey, progress);
        Options = [.. Changes(Provenance.Options(study).Select(option => (option.Name, option.Value.ToString("R", CultureInfo.InvariantCulture))), Stated.Options)];
        progress?.Report("Comparing the tables");
        var tables = new List<TableVerdict>();
        foreach (var kind in StudyTable.All.Append(StudyTable.ForOthers))
        {
            var path = Path.Combine(results, kind.Name);
            var wasWritten = File.Exists(path);
            if (kind == StudyTable.ForOthers && !wasWritten) continue;   // written where it was asked for
            var now = kind.Of(study);
            if (now is not null && wasWritten) tables.Add(Compared(kind, path, now));
            else if (now is not null) tables.Add(new(kind.Name, null, "it is computed now, and it is not among the results"));
            else if (wasWritten) tables.Add(new(kind.Name, null, "the survey no longer gives anything to write into it"));
        }
        Tables = tables;
    }

    /// <summary>A table that cannot be read is a verdict on this one; the others are compared all the same.</summary>
    private static TableVerdict Compared(StudyTable kind, string path, CsvTable now)
    {
        try
        {
            return new(kind.Name, TableComparison.Of(CsvContents.Read(path, kind.Name), now, kind.Keys), null);
        }
        catch (DataFault broken)
        {
            return new(kind.Name, null, $"it cannot be read{(broken.Line is { } line ? FormattableString.Invariant($", line {line}") : "")}: {broken.Problem}");
        }
    }

    private static IEnumerable<StatedChange> VersionsThatChanged(StatedProvenance stated) =>
        Changes([("Sweepbook", Provenance.OwnVersion), (".NET", Environment.Version.ToString())], new Dictionary<string, string> { ["Sweepbook"] = stated.Sweepbook, [".NET"] = stated.Runtime })
            .Concat(Changes(Provenance.Packages(), stated.Packages));

    private static IEnumerable<StatedChange> Changes(IEnumerable<(string Name, string Value)> now, IReadOnlyDictionary<string, string> was) =>
        now.Where(entry => was.GetValueOrDefault(entry.Name, "") != entry.Value).Select(entry => new StatedChange(entry.Name, was.GetValueOrDefault(entry.Name, "not stated"), entry.Value));
}
