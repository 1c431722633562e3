// SPDX-License-Identifier: MIT
using System.Text;
using Sweepbook.Files;
using Sweepbook.Stimuli;

namespace Sweepbook.Surveys;

/// <summary>Starts a survey: a folder with a commented <c>survey.toml</c>, a stimulus, places for takes and calibration, and a checklist for the evening.</summary>
public static class SurveyTemplate
{
    private const string StimulusFile = "stimuli/full.toml";

    /// <summary>What the template plays where nothing else is asked for: 10 Hz to 22 kHz in 10 s at 48 kHz after two seconds of silence, one output for sound and one for the loopback.</summary>
    public static StimulusDescription DefaultStimulus { get; } = new()
    {
        DeviceOutputs = new Dictionary<string, int> { ["sound"] = 1, ["loopback"] = 2 },
        LoopbackOutput = "loopback",
        LeadInSeconds = 2,   // the noise in the bass is known the better the longer it is
    };

    /// <summary>Writes the folder, whole or not at all.</summary>
    /// <param name="folder">Where it goes; it must not exist yet, or be empty.</param>
    /// <param name="title">Title of the survey; the folder's name where null.</param>
    /// <param name="stimulus">What is played; <see cref="DefaultStimulus"/> where null.</param>
    /// <returns>The files written, relative to the folder.</returns>
    /// <exception cref="DataFault">The folder holds something already, a file is in its place, the disk refuses, or the stimulus is not supported yet.</exception>
    /// <exception cref="ArgumentException">The stimulus breaks a rule.</exception>
    /// <remarks>The survey that is written reads without a fault and has no takes yet. Own convention (design, command line); it needs no source.</remarks>
    public static IReadOnlyList<string> Write(string folder, string? title = null, StimulusDescription? stimulus = null)
    {
        ArgumentException.ThrowIfNullOrEmpty(folder);
        var target = Path.TrimEndingDirectorySeparator(Path.GetFullPath(folder));
        if (File.Exists(target)) throw new DataFault(folder, null, "a file is in the place of the new survey folder", "Choose another name.");
        if (Directory.Exists(target) && Directory.EnumerateFileSystemEntries(target).Any())
            throw new DataFault(folder, null, "the folder is not empty and nothing in it is overwritten", "Choose another name, or empty it first.");
        var sweep = Stimulus.From((stimulus ?? DefaultStimulus) with { File = "full.wav", Sha256 = null });
        var staging = Path.Combine(Path.GetDirectoryName(target) ?? target, $".{Path.GetFileName(target)}-{Guid.NewGuid():N}.part");
        try
        {
            Directory.CreateDirectory(Path.Combine(staging, "takes"));
            Put(staging, Survey.FileName, SurveyTemplateText.Survey(title ?? Path.GetFileName(target), sweep.Description));
            Put(staging, "CHECKLIST.md", SurveyTemplateText.Checklist);
            Put(staging, "microphones/README.md", SurveyTemplateText.Microphones);
            sweep.Write(Path.Combine(staging, "stimuli", "full.toml"));
            if (Directory.Exists(target)) Directory.Delete(target);   // it is empty, or this refuses
            Directory.Move(staging, target);
        }
        catch (Exception failure)
        {
            if (Directory.Exists(staging)) Directory.Delete(staging, true);
            if (failure is not (IOException or UnauthorizedAccessException)) throw;
            throw new DataFault(folder, null, "the folder cannot be written", $"The system says: {failure.Message.TrimEnd('.')}.", failure);
        }
        return [Survey.FileName, "CHECKLIST.md", "microphones/README.md", StimulusFile, "stimuli/full.wav"];
    }

    private static void Put(string folder, string file, string text) =>
        AtomicFile.Create(Path.Combine([folder, .. file.Split('/')]), stream => stream.Write(Encoding.UTF8.GetBytes(text)));
}
