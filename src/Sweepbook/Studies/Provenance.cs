// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Reflection;
using System.Text.Encodings.Web;
using System.Text.Json;
using Sweepbook.Files;
using Sweepbook.Stimuli;
using Sweepbook.Surveys;

namespace Sweepbook.Studies;

/// <summary>Where the numbers come from: input files with their hashes, package and runtime versions.</summary>
internal static class Provenance
{
    private static readonly JsonWriterOptions Indented = new() { Indented = true, NewLine = "\n", Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    internal const string FileName = "provenance.json", WantedOption = "wanted";

    internal static void Write(Study study, string path) => AtomicFile.Write(path, stream =>
    {
        using var json = new Utf8JsonWriter(stream, Indented);
        json.WriteStartObject();
        WriteVersions(json);
        WriteSurvey(json, study);
        WriteOptions(json, study);
        WritePackages(json);
        WriteFiles(json, study);
        json.WriteEndObject();
    });

    /// <summary>The same for two studies that were compared: what belongs to one side stands under <c>before</c> or <c>after</c>.</summary>
    internal static void Write(StudyComparison comparison, string path) => AtomicFile.Write(path, stream =>
    {
        using var json = new Utf8JsonWriter(stream, Indented);
        json.WriteStartObject();
        WriteVersions(json);
        WritePackages(json);
        json.WriteString("microphone", comparison.IsMicrophoneUntouched ? "untouched" : "put back");
        foreach (var (name, study, setting) in new[] { ("before", comparison.Before, comparison.BeforeSetting), ("after", comparison.After, comparison.AfterSetting) })
        {
            json.WriteStartObject(name);
            WriteSurvey(json, study);
            json.WriteString("setting", setting);
            WriteOptions(json, study);
            WriteFiles(json, study);
            json.WriteEndObject();
        }
        json.WriteEndObject();
    });

    private static void WriteVersions(Utf8JsonWriter json)
    {
        json.WriteString("sweepbook", OwnVersion);
        json.WriteString("runtime", Environment.Version.ToString());
    }

    private static void WriteSurvey(Utf8JsonWriter json, Study study)
    {
        json.WriteString("survey", study.Survey.Title);
        if (study.Survey.Date is { } date) json.WriteString("survey_date", date.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture));
    }

    private static void WriteOptions(Utf8JsonWriter json, Study study)
    {
        json.WriteStartObject("options");
        if (study.Survey.WantedFromOutside is { Length: > 0 } wanted) json.WriteString(WantedOption, wanted);
        foreach (var (name, value) in Options(study)) json.WriteNumber(name, value);
        json.WriteEndObject();
    }

    private static void WritePackages(Utf8JsonWriter json)
    {
        json.WriteStartObject("packages");
        foreach (var (name, version) in Packages()) json.WriteString(name, version);
        json.WriteEndObject();
    }

    private static void WriteFiles(Utf8JsonWriter json, Study study)
    {
        json.WriteStartObject("files");
        foreach (var (file, hash) in Files(study.Survey)) json.WriteString(file, hash);
        json.WriteEndObject();
    }

    /// <summary>What was decided for every survey alike, and the speed of sound.</summary>
    internal static IEnumerable<(string Name, double Value)> Options(Study study) =>
    [
        ("points_per_octave", StudyContext.PointsPerOctave), ("longest_window_s", TakeAnalysis.LongestWindowSeconds), ("noise_below_level_db", ResponseAnalysis.WantedForLevelDb),
        ("noise_below_phase_db", ResponseAnalysis.WantedForPhaseDb), ("noise_below_loopback_db", ResponseAnalysis.WantedOfLoopbackDb), ("position_within_m", UncertaintyOfPosition.OffsetMetres),
        ("temperature_within_c", UncertaintyOfTemperature.OffsetCelsius), ("assumed_calibration_uncertainty_db", UncertaintyOfMicrophone.AssumedCalibrationDb),
        ("speed_of_sound_m_per_s", Math.Round(study.SpeedOfSoundMetresPerSecond, 3)),
    ];

    /// <summary>This library's version.</summary>
    internal static string OwnVersion => Version(typeof(Study).Assembly);

    /// <summary>The packages that compute, with their versions, by name.</summary>
    internal static IEnumerable<(string Name, string Version)> Packages() => typeof(Study).Assembly.GetReferencedAssemblies()
        .Where(name => !name.Name!.StartsWith("System", StringComparison.Ordinal)).OrderBy(name => name.Name, StringComparer.Ordinal).Select(name => (name.Name!, Version(Assembly.Load(name))));

    /// <summary>Every input file of a survey that is there, with its SHA-256, by name.</summary>
    internal static IEnumerable<(string Name, string Hash)> Files(Survey survey) => Inputs(survey).Where(file => File.Exists(file.Path)).DistinctBy(file => file.Shown)
        .OrderBy(file => file.Shown, StringComparer.Ordinal).Select(file => (file.Shown, HashOf(file.Path)));

    private static IEnumerable<(string Shown, string Path)> Inputs(Survey survey)
    {
        yield return ("survey.toml", Path.Combine(survey.Folder, "survey.toml"));
        foreach (var entry in survey.Stimuli)
        {
            yield return (entry.File, entry.Path);
            if (WaveOf(entry) is not { } wave) continue;
            var folder = Path.GetDirectoryName(entry.File) ?? "";
            yield return (folder.Length == 0 ? wave : $"{folder.Replace('\\', '/')}/{wave}", Path.Combine(Path.GetDirectoryName(entry.Path)!, wave));
        }
        foreach (var calibration in survey.Microphones.SelectMany(microphone => microphone.Calibrations)) yield return (calibration.File, calibration.Path);
        if (survey.InputCheck is { } check) yield return (check.File, check.Path);
        foreach (var calibrator in survey.Calibrators) yield return (calibrator.File, calibrator.Path);
        foreach (var take in survey.Takes) yield return (take.File, take.Path);
    }

    // A stimulus that cannot be read has cost its takes already; their reasons stand in takes.csv.
    private static string? WaveOf(StimulusFile entry)
    {
        try
        {
            return StimulusDescription.Read(entry.Path, entry.File).File;
        }
        catch (DataFault)
        {
            return null;
        }
    }

    // A take that cannot be read is left out of the study, and its reason stands in takes.csv; it must not cost the report.
    private static string HashOf(string path)
    {
        try
        {
            return FileHash.Sha256(path);
        }
        catch (DataFault fault)
        {
            return $"not read: {fault.Problem}";
        }
    }

    private static string Version(Assembly assembly) =>
        assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion.Split('+')[0] ?? assembly.GetName().Version?.ToString() ?? "unknown";
}
