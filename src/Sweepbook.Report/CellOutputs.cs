// SPDX-License-Identifier: MIT
using System.Text;
using System.Text.Json.Nodes;

namespace Sweepbook.Report;

/// <summary>The outputs of one cell in the order in which they came, as a notebook file holds them.</summary>
internal sealed class CellOutputs
{
    /// <summary>The text of one cell that is kept, in characters.</summary>
    public const int MostText = 1_000_000;

    private readonly List<JsonObject> _outputs = [];
    private readonly Dictionary<string, List<JsonObject>> _byValue = [];
    private readonly StringBuilder _stream = new();
    private string? _streamName;
    private int _text;

    /// <summary>Text written to standard output or standard error; neighbours of one name become one output. What goes beyond <see cref="MostText"/> is left out, and said to be.</summary>
    public void Stream(string name, string text)
    {
        if (_text > MostText) return;
        var room = MostText - _text;
        _text += text.Length > room ? room + 1 : text.Length;
        if (text.Length > room) text = string.Concat(text.AsSpan(0, room), "\n… cut off after 1 000 000 characters\n");
        if (_streamName != name) EndStream();
        _streamName = name;
        _stream.Append(text);
    }

    /// <summary>A displayed value, by media type.</summary>
    public void Display(string? valueId, JsonObject data) => Add(valueId, new() { ["output_type"] = "display_data", ["metadata"] = new JsonObject(), ["data"] = data });

    /// <summary>The value of the cell's last expression.</summary>
    public void Result(string? valueId, int count, JsonObject data) =>
        Add(valueId, new() { ["output_type"] = "execute_result", ["execution_count"] = count, ["metadata"] = new JsonObject(), ["data"] = data });

    /// <summary>A displayed value has changed.</summary>
    public void Update(string? valueId, JsonObject data)
    {
        if (valueId is null || !_byValue.TryGetValue(valueId, out var shown)) return;
        foreach (var output in shown) output["data"] = data.DeepClone();
    }

    public void Error(RunFailure failure, string trace) => Add(null, ErrorOutput(failure, trace));

    public static JsonObject ErrorOutput(RunFailure failure, string trace) => new()
    {
        ["output_type"] = "error",
        ["ename"] = failure.Kind,
        ["evalue"] = failure.Message,
        ["traceback"] = new JsonArray([.. trace.Split('\n').Select(line => (JsonNode)line.TrimEnd('\r'))]),
    };

    public JsonArray ToJson()
    {
        EndStream();
        return new([.. _outputs.Select(output => output.DeepClone())]);
    }

    private void Add(string? valueId, JsonObject output)
    {
        EndStream();
        _outputs.Add(output);
        if (valueId is null) return;
        if (!_byValue.TryGetValue(valueId, out var shown)) _byValue[valueId] = shown = [];
        shown.Add(output);
    }

    private void EndStream()
    {
        if (_streamName is not null && _stream.Length > 0)
            _outputs.Add(new() { ["output_type"] = "stream", ["name"] = _streamName, ["text"] = _stream.ToString() });
        _streamName = null;
        _stream.Clear();
    }
}
