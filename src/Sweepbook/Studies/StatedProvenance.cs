// SPDX-License-Identifier: MIT
using System.Text.Json;
using Sweepbook.Files;
using Sweepbook.Surveys;

namespace Sweepbook.Studies;

/// <summary>What <c>provenance.json</c> of a results folder says the results were computed from.</summary>
internal sealed class StatedProvenance
{
    private const string Again = "Compute them again with `sweepbook report`.";

    private StatedProvenance(JsonElement root)
    {
        string Text(string name) => root.TryGetProperty(name, out var value) && value.ValueKind == JsonValueKind.String ? value.GetString()! : "";
        IReadOnlyDictionary<string, string> Texts(string name) => root.TryGetProperty(name, out var values) && values.ValueKind == JsonValueKind.Object
            ? values.EnumerateObject().GroupBy(value => value.Name).ToDictionary(same => same.Key, same => same.Last().Value.ToString(), StringComparer.Ordinal) : new Dictionary<string, string>();
        (Sweepbook, Runtime, SurveyTitle) = (Text("sweepbook"), Text("runtime"), Text("survey"));
        (Options, Packages, Files) = (Texts("options"), Texts("packages"), Texts("files"));
    }

    public string Sweepbook { get; }

    public string Runtime { get; }

    public string SurveyTitle { get; }

    public IReadOnlyDictionary<string, string> Options { get; }

    public IReadOnlyDictionary<string, string> Packages { get; }

    /// <summary>SHA-256 by file.</summary>
    public IReadOnlyDictionary<string, string> Files { get; }

    /// <summary>The range given with <c>--wanted</c>, or empty.</summary>
    public string Wanted => Options.GetValueOrDefault(Provenance.WantedOption, "");

    /// <summary>Reads it.</summary>
    /// <param name="results">A folder that a report was written to, as the user names it.</param>
    /// <exception cref="DataFault">There is no such folder, it holds no results, or the file is not what was written.</exception>
    public static StatedProvenance Read(string results)
    {
        if (File.Exists(results)) throw new DataFault(results, null, "this is a file, and the folder of the results is wanted", "Name the folder that `sweepbook report` wrote.");
        if (!Directory.Exists(results)) throw new DataFault(results, null, "there is no such folder", "Name the folder that `sweepbook report` wrote.");
        var path = Path.Combine(results, Provenance.FileName);
        if (!File.Exists(path) && File.Exists(Path.Combine(results, Survey.FileName)))
            throw new DataFault(results, null, "this is a survey, and the folder of its results is wanted here", "Name the results first and the survey behind them: sweepbook verify OUT FOLDER.");
        if (!File.Exists(path))
            throw new DataFault(results, null, $"there is no {Provenance.FileName} in it, so nothing says what its numbers were computed from", Again);
        return InputFile.Read(path, path, stream =>
        {
            try
            {
                using var json = JsonDocument.Parse(stream);
                var stated = json.RootElement.ValueKind == JsonValueKind.Object ? new StatedProvenance(json.RootElement) : null;
                if (stated is { Files.Count: 0 } && json.RootElement.TryGetProperty("before", out _) && json.RootElement.TryGetProperty("after", out _))
                    throw new DataFault(results, null, "these are the results of a comparison, and only those of `sweepbook report` can be verified", "Verify the report of each survey; to compute the comparison again, run the command at the foot of its page.");
                return stated is { Files.Count: > 0, Sweepbook.Length: > 0 } ? stated : throw new DataFault(path, null, "it does not name the input files and the version, as a report writes it", Again);
            }
            catch (JsonException broken)
            {
                throw new DataFault(path, (int?)(broken.LineNumber + 1), "this is not JSON as a report writes it", $"Somebody may have edited it. {Again}", broken);
            }
        });
    }
}
