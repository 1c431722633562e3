// SPDX-License-Identifier: MIT
using Sweepbook.Report;

namespace Sweepbook.Cli;

/// <summary>A notebook did not run to its end, so there is no report.</summary>
internal sealed class NotebookStopped(string notebook, RunFailure failure) : Exception(failure.ToString())
{
    /// <summary>The notebook as the user named it.</summary>
    public string Notebook { get; } = notebook;

    /// <summary>Where and why.</summary>
    public RunFailure Failure { get; } = failure;
}
