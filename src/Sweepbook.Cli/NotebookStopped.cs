// SPDX-License-Identifier: MIT
using Sweepbook.Report;

namespace Sweepbook.Cli;

/// <summary>A notebook did not run to its end.</summary>
internal sealed class NotebookStopped(string notebook, RunFailure failure, string whatIsLeft) : Exception(failure.ToString())
{
    /// <summary>The notebook as the user named it.</summary>
    public string Notebook { get; } = notebook;

    /// <summary>What is there all the same, a sentence.</summary>
    public string WhatIsLeft { get; } = whatIsLeft;

    /// <summary>Where and why.</summary>
    public RunFailure Failure { get; } = failure;
}
