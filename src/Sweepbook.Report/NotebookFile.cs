// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using Sweepbook.Files;

namespace Sweepbook.Report;

/// <summary>An <c>.ipynb</c> file, edited as JSON so that everything it holds stays as it was.</summary>
internal sealed partial class NotebookFile
{
    private const string ParametersTag = "parameters";
    private const string InjectedTag = "injected-parameters";

    private static readonly JsonSerializerOptions Layout =
        new() { WriteIndented = true, IndentSize = 1, Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping, NewLine = "\n" };

    private static readonly UTF8Encoding StrictUtf8 = new(false, throwOnInvalidBytes: true);
    private static readonly string[] OurLanguages = ["C#", "csharp", "polyglot-notebook"];   // as notebook programs name it

    private readonly JsonObject _root;
    private readonly string _shownAs;

    private NotebookFile(JsonObject root, string shownAs) => (_root, _shownAs) = (root, shownAs);

    public static NotebookFile Read(string path, string? shownAs = null)
    {
        shownAs ??= path;
        if (!File.Exists(path))
            throw new DataFault(shownAs, null, "there is no such notebook", "Check the path; notebooks end in .ipynb.");
        JsonNode? node;
        try
        {
            node = JsonNode.Parse(File.ReadAllText(path, StrictUtf8));
        }
        catch (DecoderFallbackException wrong)
        {
            throw new DataFault(shownAs, null, "a letter is not written in UTF-8", "Save the notebook again as UTF-8.", wrong);
        }
        catch (JsonException error)
        {
            throw new DataFault(shownAs, (int?)error.LineNumber + 1, "this is not a notebook: it is not valid JSON there", "Open it in Jupyter and save it again, or take a fresh copy.", error);
        }
        if (node is not JsonObject root || root["nbformat"] is not JsonValue version || !version.TryGetValue<int>(out var major) || major != 4
            || root["cells"] is not JsonArray cells || cells.Any(cell => cell is not JsonObject o || !o.ContainsKey("cell_type") || !o.ContainsKey("source")))
            throw new DataFault(shownAs, null, "this is not a notebook of format 4", "Open it in a current Jupyter and save it again.");
        var stated = (string?)((root["metadata"]?["kernelspec"] as JsonObject)?["language"] as JsonValue);
        if (stated is { Length: > 0 } && !OurLanguages.Contains(stated, StringComparer.OrdinalIgnoreCase))
            throw new DataFault(shownAs, null, $"this notebook is written in {stated}, and only C# is understood here", "Choose a C# notebook, or change the kernel of this one in Jupyter.");
        return new(root, shownAs);
    }

    public IReadOnlyList<NotebookCell> Cells => [.. _root["cells"]!.AsArray().Select(cell => new NotebookCell(cell!.AsObject()))];

    /// <summary>Puts C# literals behind the cell tagged <c>parameters</c>, in place of those of an earlier run.</summary>
    /// <returns>The index of the cell with the values, or -1 where there were none to put.</returns>
    /// <remarks>
    /// A cell tagged <c>injected-parameters</c> with assignments only. Source: the convention of papermill's documentation, "Parameterize a notebook".
    /// </remarks>
    public int Inject(IReadOnlyDictionary<string, string> literals)
    {
        if (literals.Count == 0) return -1;
        Remove(cell => cell.Tags.Contains(InjectedTag));
        var cells = _root["cells"]!.AsArray();
        var at = Cells.ToList().FindIndex(cell => cell.Tags.Contains(ParametersTag));
        if (at < 0)
            throw new DataFault(_shownAs, null, "the notebook takes no values from outside: none of its cells is tagged parameters", "Tag the cell that declares them, or run the notebook without values.");
        var declared = Cells[at].Source;
        foreach (var name in literals.Keys)
            if (!Regex.IsMatch(declared, $@"\b{Regex.Escape(name)}\s*="))
                throw new DataFault(_shownAs, null, $"the cell tagged parameters declares no variable {name}", $"It must hold a line such as: var {name} = …;");
        var cell = new JsonObject
        {
            ["cell_type"] = "code",
            ["execution_count"] = null,
            ["metadata"] = new JsonObject { ["tags"] = new JsonArray([InjectedTag, .. Cells[at].Tags.Where(tag => tag != ParametersTag).Select(tag => (JsonNode)tag)]) },
            ["outputs"] = new JsonArray(),
            ["source"] = Assignments(literals),
        };
        if (cells.Any(c => c!.AsObject().ContainsKey("id"))) cell["id"] = InjectedTag;   // ids are required from format 4.5 on
        cells.Insert(at + 1, cell);
        return at + 1;
    }

    public static string Assignments(IReadOnlyDictionary<string, string> literals) =>
        string.Join("\n", literals.Select(pair => $"{pair.Key} = {pair.Value};"));

    /// <summary>Takes cells out.</summary>
    public void Remove(Func<NotebookCell, bool> which)
    {
        var cells = _root["cells"]!.AsArray();
        for (var k = cells.Count - 1; k >= 0; k--)
            if (which(new(cells[k]!.AsObject()))) cells.RemoveAt(k);
    }

    /// <summary>The text of the file.</summary>
    public string ToText() => _root.ToJsonString(Layout) + "\n";

    public void Write(string path)
    {
        var text = ToText();
        AtomicFile.Write(path, stream => stream.Write(new UTF8Encoding(false).GetBytes(text)));
    }

    /// <summary>A value as C# writes it.</summary>
    public static string Literal(object value) => value switch
    {
        string text => "\"" + Unsafe().Replace(text, match => $"\\u{(int)match.Value[0]:x4}") + "\"",
        bool flag => flag ? "true" : "false",
        double number when double.IsFinite(number) => number.ToString("R", CultureInfo.InvariantCulture) is var r && r.AsSpan().ContainsAny(".E") ? r : r + ".0",
        int or long => string.Create(CultureInfo.InvariantCulture, $"{value}"),
        _ => throw new ArgumentException($"A parameter must be text, a whole number, a finite double or a bool; got {value} ({value?.GetType().Name}).", nameof(value)),
    };

    [GeneratedRegex("[\"\\\\\\p{C}\u2028\u2029]")]
    private static partial Regex Unsafe();
}

/// <summary>One cell of a notebook, a view on its JSON.</summary>
internal sealed class NotebookCell(JsonObject json)
{
    public bool IsCode => (string?)json["cell_type"] == "code";

    /// <summary>The language of a cell that is not in that of its notebook; empty for any other.</summary>
    public string OtherLanguage =>
        ((json["metadata"]?["polyglot_notebook"]?["kernelName"] ?? json["metadata"]?["dotnet_interactive"]?["language"]) as JsonValue)?.ToString() is { } named && named != "csharp" ? named : "";

    public bool IsMarkdown => (string?)json["cell_type"] == "markdown";

    public string Source
    {
        get => Text(json["source"]);
        set => json["source"] = value;
    }

    /// <summary>The source, stored line by line as Jupyter does, so that a comparison of versions shows the lines that changed.</summary>
    public string Lines
    {
        set
        {
            var lines = value.Split('\n');
            json["source"] = new JsonArray([.. lines.Select((line, k) => (JsonNode)(k < lines.Length - 1 ? line + "\n" : line)).Where(line => (string?)line != "")]);
        }
    }

    /// <summary>Drops what a front end left in the metadata of the cell.</summary>
    public void KeepTagsOnly()
    {
        var metadata = new JsonObject();
        if (Tags.Count > 0) metadata["tags"] = new JsonArray([.. Tags.Select(tag => (JsonNode)tag)]);
        json["metadata"] = metadata;
    }

    public IReadOnlyList<string> Tags =>
        (json["metadata"]?["tags"] as JsonArray)?.Select(tag => (string?)tag ?? "").ToArray() ?? [];

    public JsonArray Outputs
    {
        get
        {
            if (json["outputs"] is JsonArray outputs) return outputs;
            var fresh = new JsonArray();
            json["outputs"] = fresh;
            return fresh;
        }
        set => json["outputs"] = value;
    }

    public int? ExecutionCount
    {
        get => (int?)json["execution_count"];
        set => json["execution_count"] = value;
    }

    public static string Text(JsonNode? node) => node switch
    {
        JsonArray lines => string.Concat(lines.Select(line => (string?)line)),
        JsonValue value => value.TryGetValue<string>(out var text) ? text : value.ToString(),
        _ => "",
    };
}
