// SPDX-License-Identifier: MIT
namespace Sweepbook.Report;

/// <summary>What to run and where to write it.</summary>
/// <remarks>A plain description; nothing is read or checked before <see cref="NotebookRun.StartAsync"/>.</remarks>
public sealed record NotebookRequest
{
    /// <summary>The notebook to execute, an <c>.ipynb</c> file. Its cells run in its own folder, as they do in Jupyter.</summary>
    public required string Notebook { get; init; }

    /// <summary>Where the executed notebook is written, after every cell and in one piece.</summary>
    public required string Output { get; init; }

    /// <summary>Where the page is written once all cells have run; null for no page.</summary>
    public string? Page { get; init; }

    /// <summary>
    /// Values for the cell tagged <c>parameters</c>: text, whole numbers, <c>double</c> or <c>bool</c> by variable name. Empty: the notebook's own values.
    /// </summary>
    public IReadOnlyDictionary<string, object> Parameters { get; init; } = new Dictionary<string, object>();

    /// <summary>Values to write into the executed notebook in place of those used, for instance the final folder instead of a temporary one.</summary>
    public IReadOnlyDictionary<string, object> ShownParameters { get; init; } = new Dictionary<string, object>();

    /// <summary>Title of the page; null: the first heading of the notebook.</summary>
    public string? Title { get; init; }

    /// <summary>The command that makes this page again, shown at its end; null for none.</summary>
    public string? Command { get; init; }

    /// <summary>The command that says whether the numbers of this page still agree, shown at its end; null for none.</summary>
    public string? VerifyCommand { get; init; }

    /// <summary>The day of the measurement, shown below the title and in the margin of the printed page; null for none.</summary>
    public DateOnly? Date { get; init; }

    /// <summary>The file in which the run says what it computed from, as <c>Study.WriteTables</c> writes it; shown folded at the end of the page. Null, or no such file when all cells have run: nothing is shown.</summary>
    public string? Provenance { get; init; }

    /// <summary>A cell that takes longer than this is stopped, with the process it runs in.</summary>
    public TimeSpan CellTimeout { get; init; } = TimeSpan.FromMinutes(10);

    /// <summary>A run that takes longer than this altogether is stopped.</summary>
    public TimeSpan Timeout { get; init; } = TimeSpan.FromHours(1);
}

/// <summary>Where a run is: a code cell has started.</summary>
/// <param name="Cell">The code cell, counted from 1.</param>
/// <param name="Of">Number of code cells.</param>
/// <param name="Heading">The heading it stands under; empty before the first one.</param>
public readonly record struct RunProgress(int Cell, int Of, string Heading);

/// <summary>Why a run stopped.</summary>
/// <param name="Cell">The code cell, counted from 1; 0 when no cell had started.</param>
/// <param name="Line">Line inside the cell, counted from 1, where it is known.</param>
/// <param name="Kind">The name of the exception, or <c>Timeout</c> or <c>ProcessEnded</c>.</param>
/// <param name="Message">What happened, in one or a few lines.</param>
public sealed record RunFailure(int Cell, int? Line, string Kind, string Message)
{
    /// <summary>The sentence for a person: which cell, which line, what happened.</summary>
    public override string ToString() =>
        (Cell > 0 ? $"Code cell {Cell}{(Line is int n ? $", line {n}" : "")}: " : "") + Message;
}

/// <summary>How a run ended.</summary>
/// <param name="Failure">Null when all cells have run.</param>
/// <param name="Cells">Number of code cells that have run to their end.</param>
public sealed record RunResult(RunFailure? Failure, int Cells)
{
    /// <summary>True when all cells have run and everything asked for is written.</summary>
    public bool Succeeded => Failure is null;
}
