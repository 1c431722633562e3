// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Studies;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class StudyTablesTests
{
    private static readonly (int, double)[] Direct = [(480, 0.5)];

    [Fact]
    public void Takes_that_differ_in_field_or_drive_keep_rows_of_their_own()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Direct);
        folder.Add("b.wav", Direct, keys: "field = \"near\"\ndistance_mm = 10");
        folder.Add("c.wav", Direct, keys: "drive_db = -10.0");
        var study = Study.Of(folder.Read());
        var output = Directory.CreateTempSubdirectory("sweepbook-out-").FullName;
        try
        {
            study.WriteTables(output);
            var rows = File.ReadLines(Path.Combine(output, "responses.csv")).Skip(1).Select(line => string.Join(',', line.Split(',').Take(11))).ToList();
            Assert.Equal(rows.Count, rows.Distinct().Count());   // source … input_gain_db, frequency_hz
            Assert.Equal(3 * study.Responses[0].Response.Count, rows.Count);
        }
        finally
        {
            Directory.Delete(output, recursive: true);
        }
    }

    [Fact]
    public void The_same_survey_gives_the_same_bytes_twice()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Direct);
        folder.Add("b.wav", [(600, 0.3), (2000, -0.2)], seat: "chair");
        var output = Directory.CreateTempSubdirectory("sweepbook-out-").FullName;
        try
        {
            foreach (var name in new[] { "one", "two" }) Study.Of(folder.Read()).WriteTables(Path.Combine(output, name));
            foreach (var file in Directory.EnumerateFiles(Path.Combine(output, "one")))
                Assert.Equal(File.ReadAllBytes(file), File.ReadAllBytes(Path.Combine(output, "two", Path.GetFileName(file))));
        }
        finally
        {
            Directory.Delete(output, recursive: true);
        }
    }

    [Fact]
    public void Results_are_never_written_into_the_survey_through_a_link()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Direct);
        var link = Path.Combine(Path.GetTempPath(), $"sweepbook-link-{Guid.NewGuid():N}");
        Directory.CreateSymbolicLink(link, folder.Folder);
        try
        {
            Assert.Throws<DataFault>(() => Study.Of(folder.Read()).WriteTables(Path.Combine(link, "out")));
            Assert.False(Directory.Exists(Path.Combine(folder.Folder, "out")));
        }
        finally
        {
            Directory.Delete(link);
        }
    }

    [Fact]
    public void A_file_in_the_way_of_the_results_is_a_fault_in_words()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Direct);
        var file = Path.GetTempFileName();
        try
        {
            Assert.Contains(file, Assert.Throws<DataFault>(() => Study.Of(folder.Read()).WriteTables(file)).Message, StringComparison.Ordinal);
        }
        finally
        {
            File.Delete(file);
        }
    }

    [Fact]
    public void Provenance_names_the_wav_that_the_stimulus_names()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Direct);
        var toml = Path.Combine(folder.Folder, "stimuli", "full.toml");
        File.WriteAllText(toml, File.ReadAllText(toml).Replace("full.wav", "played.wav", StringComparison.Ordinal));
        File.Move(Path.Combine(folder.Folder, "stimuli", "full.wav"), Path.Combine(folder.Folder, "stimuli", "played.wav"));
        var output = Directory.CreateTempSubdirectory("sweepbook-out-").FullName;
        try
        {
            Study.Of(folder.Read()).WriteTables(output);
            Assert.Contains("\"noise_below_level_db\": 15", File.ReadAllText(Path.Combine(output, "provenance.json")), StringComparison.Ordinal);
            Assert.Contains("\"stimuli/played.wav\": \"", File.ReadAllText(Path.Combine(output, "provenance.json")), StringComparison.Ordinal);
        }
        finally
        {
            Directory.Delete(output, recursive: true);
        }
    }

    [Fact]
    public void Results_are_never_written_into_the_survey()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Direct);
        var study = Study.Of(folder.Read());
        var fault = Assert.Throws<DataFault>(() => study.WriteTables(Path.Combine(folder.Folder, "out")));
        Assert.Contains("lies inside the survey folder", fault.Message, StringComparison.Ordinal);
        Assert.False(Directory.Exists(Path.Combine(folder.Folder, "out")));
    }
}
