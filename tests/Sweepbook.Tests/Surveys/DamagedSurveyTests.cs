// SPDX-License-Identifier: MIT
using System.Text;
using Sweepbook.Files;
using Sweepbook.Microphones;
using Sweepbook.Stimuli;
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Tests.Surveys;

/// <summary>Damaged copies of every text file of a survey: each is read or refused with a fault; nothing is written.</summary>
public sealed class DamagedSurveyTests
{
    private const string PatternLine = "takes = \"takes/{source}_{seat}_{setting}_{repeat}.wav\"\n";

    private static readonly string[] Surveys = [SurveyTexts.Whole, PatternLine + SurveyTexts.Plain + "[take-defaults]\nreference_channel = 2\n[[take]]\nfile = \"takes/sub-left_sofa_new_1.wav\"\nnote = \"x\"\n"];

    private static readonly string[] Stimuli =
    [
        (SurveyTemplate.DefaultStimulus with { File = "full.wav" }).ToToml(),
        new StimulusDescription { File = "a.wav", Repeats = 2, DeviceOutputs = new Dictionary<string, int> { ["a"] = 1, ["b"] = 2 }, MarkerOutput = "b", Marker = new(0.1, 0.2, 100, 1_000, null) }.ToToml(),
    ];

    private static readonly string[] Calibrations = ["Serial 17\n0 0\n20 -1.5\n100 0\n100 0.05\n1000 0.25\n20000 -3\n", "20; -1,5; 10\r\n100; 0,5; 5\r\n20000; -3,25; -170\r\n"];

    [Fact]
    public void Damaged_surveys_stimuli_and_calibrations_are_read_or_refused()
    {
        using var folder = new SurveyFolder();
        foreach (var take in new[] { "sub-left_sofa_new_1", "sub-left_sofa_new_2", "sub-right+sub-left_sofa_2_as-found_1", "else" }) folder.Put($"takes/{take}.wav", "");
        (string File, Action Read)[] kinds =
        [
            ("survey.toml", () => Survey.Read(folder.Path)),
            ("full.toml", () => StimulusDescription.Read(folder.At("full.toml"))),
            ("mic.txt", () => CalibrationCurve.Read(folder.At("mic.txt")).CorrectionDbAt(875, default)),
        ];
        foreach (var (file, _) in kinds) folder.Put(file, "");
        var before = folder.Files("");
        string[] originals = [Surveys[0], Stimuli[0], Calibrations[0], Surveys[1], Stimuli[1], Calibrations[1]];   // the kinds take turns, and so do the reads
        var turn = 0;
        var refused = Mutations.Survive([.. originals.Select(Encoding.UTF8.GetBytes)], stream =>
        {
            var (file, read) = kinds[turn++ % kinds.Length];
            using (var damaged = File.Create(folder.At(file))) stream.CopyTo(damaged);
            read();
        });
        Assert.InRange(refused, Mutations.Count / 2, Mutations.Count - Mutations.Count / 50);   // the damage bites, and not always
        Assert.Equal(before, folder.Files(""));
    }

    public static TheoryData<string> OddValues =>
    [
        "", "0", "-1", "1e308", "nan", "-inf", "99999999999", "\"\"", "\"..\"", "\"/\"", "\"a\\u0000b\"", "\"{source}{seat}\"", "true", "2026-10-18", "20:15:00", "0001-01-01T00:00:00+14:00", "9999-12-31T23:59:60Z", "0000-00-00", "[]", "[[1]]", "[\"\"]", "[{}]", "{}", "{ sub-left = [] }",
    ];

    [Theory, MemberData(nameof(OddValues))]
    public void Every_value_of_a_survey_and_of_a_stimulus_may_be_an_odd_one(string odd)
    {
        using var folder = new SurveyFolder();
        foreach (var (file, text) in Surveys.Select(text => ("survey.toml", text)).Concat(Stimuli.Select(text => ("full.toml", text))))
        {
            var lines = text.Split('\n');
            for (var k = 0; k < lines.Length; k++)
            {
                if (lines[k].IndexOf('=', StringComparison.Ordinal) is var equals && equals < 0) continue;
                folder.Put(file, string.Join('\n', [.. lines[..k], lines[k][..(equals + 1)] + odd, .. lines[(k + 1)..]]));
                try
                {
                    if (file == "survey.toml") Survey.Read(folder.Path);
                    else StimulusDescription.Read(folder.At(file), file);
                }
                catch (DataFault fault)
                {
                    Assert.StartsWith(file, fault.Message, StringComparison.Ordinal);   // any other exception fails the test
                    Assert.DoesNotContain(fault.Message, char.IsControl);
                }
            }
        }
    }

    [Fact]
    public void Undamaged_they_are_all_read()
    {
        foreach (var text in Surveys) SurveyTexts.Read(text);
        using var folder = new SurveyFolder();
        foreach (var (text, k) in Stimuli.Concat(Calibrations).Select((text, k) => (text, k)))
        {
            folder.Put("file", text);
            if (k < Stimuli.Length) StimulusDescription.Read(folder.At("file"));
            else CalibrationCurve.Read(folder.At("file"));
        }
    }
}
