// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Studies;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>One small survey with its results, for all the tests below.</summary>
public sealed class VerifiedSurvey : IDisposable
{
    internal const string Wanted = "40:200";

    public VerifiedSurvey()
    {
        Survey = new SmallSurvey();
        Survey.Add("a.wav", [(480, 0.5)]);
        Survey.Add("b.wav", [(600, 0.3), (2000, -0.2)], seat: "chair");
        Results = Directory.CreateTempSubdirectory("sweepbook-out-").FullName;
        Study = Study.Of(Survey.Read().Wanting(Wanted));
        Study.WriteTables(Results);
    }

    internal SmallSurvey Survey { get; }

    internal Study Study { get; }

    internal string Results { get; }

    public void Dispose()
    {
        Survey.Dispose();
        Directory.Delete(Results, recursive: true);
    }
}

public sealed class StudyVerificationTests(VerifiedSurvey given) : IClassFixture<VerifiedSurvey>, IDisposable
{
    private readonly string _copy = Directory.CreateTempSubdirectory("sweepbook-copy-").FullName;

    public void Dispose() => Directory.Delete(_copy, recursive: true);

    [Fact]
    public void Results_agree_with_the_survey_they_were_computed_from_under_the_options_they_state()
    {
        var verification = StudyVerification.Prepare(given.Results, given.Survey.Folder);
        Assert.Equal((0, 0, VerifiedSurvey.Wanted), (verification.Inputs.Count, verification.Versions.Count, verification.Stated.Wanted));
        verification.Compare(given.Results);
        Assert.True(verification.Agrees);
        Assert.Empty(verification.Options);
        Assert.Equal(Directory.GetFiles(given.Results, "*.csv").Select(Path.GetFileName).Order(), verification.Tables.Select(table => table.Name).Order());
        Assert.All(verification.Tables, table => Assert.Equal(TableAgreement.Equal, table.Comparison!.Agreement));
    }

    [Fact]
    public void A_take_with_one_other_byte_is_named_before_the_numbers()
    {
        var results = Copy();
        Edit(results, Provenance.FileName, given.Study.Survey.Takes[0].File + "\": \"", given.Study.Survey.Takes[0].File + "\": \"0");
        Edit(results, Provenance.FileName, "\"survey.toml\"", "\"gone.txt\"");
        var verification = StudyVerification.Prepare(results, given.Survey.Folder);
        Assert.Equal([new("changed", given.Study.Survey.Takes[0].File), new("missing", "gone.txt"), new("new", "survey.toml")], verification.Inputs);
    }

    [Fact]
    public void An_edited_number_a_lost_row_a_lost_table_and_another_version_are_each_told()
    {
        var results = Copy();
        Edit(results, Provenance.FileName, "\"runtime\": \"", "\"runtime\": \"1");
        Edit(results, Provenance.FileName, "\"longest_window_s\": ", "\"longest_window_s\": 9");
        var lines = File.ReadAllLines(Path.Combine(results, "decay.csv")).ToList();
        lines.RemoveAt(3);
        File.WriteAllLines(Path.Combine(results, "decay.csv"), lines);
        File.Delete(Path.Combine(results, "takes.csv"));
        Edit(results, "seats.csv", given.Study.Survey.Seats.Count.ToString() + ",true,", "9,true,");
        Edit(results, "findings.csv", "a", "e");
        File.WriteAllText(Path.Combine(results, "microphones.csv"), "microphone\nx\n");   // the survey compares none
        File.WriteAllText(Path.Combine(results, "trusted-bands.csv"), "source,seat\nmain\n");
        File.WriteAllText(Path.Combine(results, "mine.csv"), "not ours\n");
        var verification = StudyVerification.Prepare(results, given.Survey.Folder);
        Assert.Equal([".NET"], verification.Versions.Select(version => version.Name));
        verification.Compare(results);
        Assert.Equal(["longest_window_s"], verification.Options.Select(option => option.Name));
        Assert.False(verification.Agrees);
        Assert.Equal(["decay.csv", "findings.csv", "microphones.csv", "seats.csv", "takes.csv", "trusted-bands.csv"], verification.Tables.Where(table => !table.Agrees).Select(table => table.Name).Order());
        Assert.Single(verification.Tables.Single(table => table.Name == "decay.csv").Comparison!.AddedRows);
        Assert.Equal(("seats", "9", "2"), verification.Tables.Single(table => table.Name == "seats.csv").Comparison!.Worst.Select(cell => (cell.Column, cell.Was, cell.Is)).Single());
        Assert.Contains("not among the results", verification.Tables.Single(table => table.Name == "takes.csv").Problem);
        Assert.Equal("it cannot be read, line 2: the row has 1 cells, and the head has 2", verification.Tables.Single(table => table.Name == "trusted-bands.csv").Problem);
        Assert.Contains("no longer gives", verification.Tables.Single(table => table.Name == "microphones.csv").Problem);
    }

    [Fact]
    public void Results_of_another_survey_and_folders_that_are_none_are_refused_with_words()
    {
        Assert.Contains("there is no such folder", Fault(Path.Combine(_copy, "nowhere")));
        Assert.Contains("there is no provenance.json", Fault(_copy));
        Assert.Contains("this is a survey", Fault(given.Survey.Folder));
        File.WriteAllText(Path.Combine(_copy, Provenance.FileName), "{\n  \"sweepbook\": ");
        Assert.Contains("provenance.json:2: this is not JSON", Fault(_copy));
        File.WriteAllText(Path.Combine(_copy, Provenance.FileName), "[]");
        Assert.Contains("does not name the input files", Fault(_copy));
        File.WriteAllText(Path.Combine(_copy, Provenance.FileName), """{ "sweepbook": "0.1.0", "before": { "survey": "Loft" }, "after": { "survey": "Loft" } }""");
        Assert.Contains("these are the results of a comparison", Fault(_copy));
        File.WriteAllText(Path.Combine(_copy, Provenance.FileName), """{ "sweepbook": "0.1.0", "survey": "Loft", "files": { "survey.toml": "12" } }""");
        Assert.Contains("these are the results of \"Loft\"", Fault(_copy));
        File.WriteAllText(Path.Combine(_copy, Provenance.FileName), $$"""{ "sweepbook": "0.1.0", "survey": "{{given.Study.Survey.Title}}", "options": { "wanted": "much" }, "files": { "survey.toml": "12" } }""");
        Assert.Contains("its option \"wanted\" is no range", Fault(_copy));
    }

    [Fact]
    public void Every_table_has_the_keys_by_which_its_rows_are_told_apart()
    {
        foreach (var kind in StudyTable.All.Where(kind => kind.Name is not ("slow-peaks.csv" or "findings.csv")).Append(StudyTable.ForOthers))
            if (kind.Of(given.Study) is { } table)
            {
                var places = kind.Keys.Select(key => table.Columns.Select(column => column.Name).ToList().IndexOf(key)).ToList();
                Assert.DoesNotContain(-1, places);
                Assert.Equal(table.Count, table.Rows.Select(row => string.Join('|', places.Select(place => row[place]))).Distinct().Count());
            }
    }

    private string Fault(string results) => Assert.Throws<DataFault>(() => StudyVerification.Prepare(results, given.Survey.Folder)).Message;

    private string Copy()
    {
        foreach (var file in Directory.GetFiles(given.Results)) File.Copy(file, Path.Combine(_copy, Path.GetFileName(file)));
        return _copy;
    }

    private static void Edit(string folder, string file, string from, string to)
    {
        var (path, text) = (Path.Combine(folder, file), File.ReadAllText(Path.Combine(folder, file)));
        var at = file.EndsWith(".csv", StringComparison.Ordinal) ? text.LastIndexOf(from, StringComparison.Ordinal) : text.IndexOf(from, StringComparison.Ordinal);
        File.WriteAllText(path, text[..at] + to + text[(at + from.Length)..]);
    }
}
