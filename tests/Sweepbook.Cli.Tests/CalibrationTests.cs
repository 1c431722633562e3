// SPDX-License-Identifier: MIT
using Xunit;

namespace Sweepbook.Cli.Tests;

/// <summary>The command that makes a calibration from a comparison and lays two calibrations side by side: what it says, writes and refuses.</summary>
public sealed class CalibrationTests : IDisposable
{
    private readonly WorkFolder _work = new();

    public void Dispose() => _work.Dispose();

    /// <summary>A survey of two microphones that took the same sounds: what differs is that one of them is half as loud.</summary>
    internal static void Prepare(WorkFolder work, string folder = "den")
    {
        var survey = SmallSurvey.Make(work[folder], 1);
        File.Move(survey.Take(1), work[folder, "takes", "reference.wav"]);
        survey.Record(1, amplitude: 0.125);
        File.Move(survey.Take(1), work[folder, "takes", "pocket.wav"]);
        File.WriteAllText(survey.Toml, File.ReadAllText(survey.Toml).Replace("id = \"mic\"", "id = \"reference\"\nreference = true").Replace("microphone = \"mic\"\n", "sources = [\"main\"]\nseat = \"seat-1\"\n")
            .Replace("takes = \"takes/{source}_{seat}.wav\"\n", "") + """

            [[microphone]]
            id = "pocket"

            [[take]]
            file = "takes/reference.wav"
            microphone = "reference"

            [[take]]
            file = "takes/pocket.wav"
            microphone = "pocket"
            """);
        File.WriteAllText(work["old.txt"], "20 -0.5\n1000 0\n8000 0\n20000 1.5\n");
    }

    [Fact]
    public void A_calibration_is_made_laid_beside_an_older_one_and_never_overwritten()
    {
        Prepare(_work);
        var before = WorkFolder.Fingerprint(_work["den"]);
        var made = Ran.In(_work.Root, "calibration", "new", "den", "--microphone", "pocket", "--out", "pocket.txt").Succeeded();
        Assert.Contains("pocket by reference: main at seat-1", made.Output);
        Assert.Contains("read only once", made.Output);
        Assert.Contains("Calibration: pocket.txt", made.Output);
        var lines = File.ReadAllLines(_work["pocket.txt"]);
        Assert.Equal("# Calibration of pocket by substitution", lines[0]);
        Assert.All(lines.Where(line => line[0] != '#'), line => Assert.Equal(0, double.Parse(line.Split('\t')[1], System.Globalization.CultureInfo.InvariantCulture), 0.02));   // a plain gain
        Assert.Equal(before, WorkFolder.Fingerprint(_work["den"]));

        Assert.Contains("exists already", Ran.In(_work.Root, "calibration", "new", "den", "--microphone", "pocket", "--out", "pocket.txt").Refused(1).Error);

        var compared = Ran.In(_work.Root, "calibration", "compare", "old.txt", "pocket.txt", "--older-date", "2021-04-18").Succeeded();
        Assert.Contains("5.5 years lie between", compared.Output);   // 2026-10-18 stands in the header
        Assert.Matches(@"16000 +-\d\.\d +-0\.\d\d", compared.Output);
        Assert.All(compared.Output.Split('\n').Concat(made.Output.Split('\n')), line => Assert.InRange(line.TrimEnd().Length, 0, 80));
    }

    [Fact]
    public void What_the_survey_cannot_give_is_said_with_exit_code_1_and_a_wrong_word_with_2()
    {
        Prepare(_work);
        Assert.Contains("no microphone of the survey is marked", Unmarked().Refused(1).Error);
        Assert.Contains("compared with itself", New("--microphone", "reference", "--out", "a.txt").Refused(1).Error);
        Assert.Contains("Did you mean `pocket`?", New("--microphone", "pockt", "--out", "a.txt").Refused(2).Error);
        Assert.Contains("cannot be matched over 21 to 30 kHz", New("--microphone", "pocket", "--out", "a.txt", "--match-from-hz", "21000", "--match-to-hz", "30000").Refused(1).Error);
        Assert.Contains("inside the survey", New("--microphone", "pocket", "--out", "den/a.txt").Refused(1).Error);
        Assert.False(File.Exists(_work["a.txt"]));
        Assert.Contains("exchange the two", Ran.In(_work.Root, "calibration", "compare", "old.txt", "old.txt", "--older-date", "2022-01-01", "--newer-date", "2021-01-01").Refused(2).Error);
        Assert.Contains("no such file", Ran.In(_work.Root, "calibration", "compare", "old.txt", "nowhere.txt").Refused(1).Error);

        Ran New(params string[] options) => Ran.In(_work.Root, ["calibration", "new", "den", .. options]);
        Ran Unmarked()
        {
            Prepare(_work, "other");
            var toml = _work["other", "survey.toml"];
            File.WriteAllText(toml, File.ReadAllText(toml).Replace("reference = true", ""));
            return Ran.In(_work.Root, "calibration", "new", "other", "--microphone", "pocket", "--out", "a.txt");
        }
    }

    [Theory]
    [InlineData("Say what `sweepbook calibration` is to do: new or compare.")]
    [InlineData("`compere` is no part of `sweepbook calibration`; write new or compare.", "compere")]
    [InlineData("sweepbook calibration new --help", "new", "den", "--out", "a.txt")]
    [InlineData("`3/2021` is not a day here; write year, month and day", "compare", "a.txt", "b.txt", "--older-date", "3/2021")]
    [InlineData("is not an option of `sweepbook calibration compare`", "compare", "a.txt", "b.txt", "--from", "3")]
    public void Used_wrongly_it_says_how(string words, params string[] arguments) =>
        Assert.Contains(words, Ran.In(_work.Root, ["calibration", .. arguments]).Refused(2).Error);

    [Theory]
    [InlineData("new")]
    [InlineData("compare")]
    public void Each_of_the_two_has_help_with_an_example(string command)
    {
        var help = Ran.In(_work.Root, "calibration", command, "--help").Succeeded().Output;
        Assert.Contains($"sweepbook calibration {command} ", help);
        Assert.All(help.Split('\n'), line => Assert.InRange(line.TrimEnd().Length, 0, 80));
    }
}
