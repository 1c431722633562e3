// SPDX-License-Identifier: MIT
using System.Text.Json;
using System.Text.Json.Serialization;

namespace Sweepbook.Report;

/// <summary>What the child says to its parent, one line each: a cell has started, the run has failed, the run is done.</summary>
/// <remarks>A record separator stands before the JSON, so that whatever a cell writes past the kernel cannot be taken for it.</remarks>
internal sealed record ChildMessage
{
    internal const char Mark = '\u001e';

    private const int LongestWords = 100_000;   // at most six characters each in JSON, which BoundedLines still holds

    public RunProgress? Progress { get; init; }

    public RunFailure? Failure { get; init; }

    public bool Done { get; init; }

    /// <summary>The message as a line; the words of a failure are cut where they would be too long for the reader of the line.</summary>
    public string ToLine() => Failure is { Message.Length: > LongestWords } failure ? (this with { Failure = failure with { Message = failure.Message[..(LongestWords - 2)] + " …" } }).ToLine()
        : Mark + JsonSerializer.Serialize(this, MessageContext.Default.ChildMessage) + "\n";

    public static ChildMessage? FromLine(string line)
    {
        var at = line.LastIndexOf(Mark);
        if (at < 0) return null;
        try
        {
            return JsonSerializer.Deserialize(line[(at + 1)..], MessageContext.Default.ChildMessage);
        }
        catch (JsonException)
        {
            return null;
        }
    }
}

/// <summary>What the parent asks of the child: the request with absolute paths.</summary>
internal sealed record ChildRequest
{
    public required string Notebook { get; init; }

    public required string ShownAs { get; init; }

    public required string Output { get; init; }

    public string? Page { get; init; }

    public string? Title { get; init; }

    public string? Command { get; init; }

    public string? VerifyCommand { get; init; }

    public DateOnly? Date { get; init; }

    public string? Provenance { get; init; }

    /// <summary>C# literals by variable name: those the run uses.</summary>
    public IReadOnlyDictionary<string, string> Parameters { get; init; } = new Dictionary<string, string>();

    /// <summary>Literals that the written notebook shows in place of those used.</summary>
    public IReadOnlyDictionary<string, string> ShownParameters { get; init; } = new Dictionary<string, string>();
}

[JsonSerializable(typeof(ChildMessage))]
[JsonSerializable(typeof(ChildRequest))]
internal sealed partial class MessageContext : JsonSerializerContext;
