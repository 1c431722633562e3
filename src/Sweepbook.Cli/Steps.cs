// SPDX-License-Identifier: MIT
using Sweepbook.Report;

namespace Sweepbook.Cli;

/// <summary>Says in words which step of a notebook has begun.</summary>
internal sealed class Steps(IProgress<string> words) : IProgress<RunProgress>
{
    /// <inheritdoc/>
    public void Report(RunProgress value) => words.Report($"Step {value.Cell} of {value.Of}{(value.Heading.Length > 0 ? $": {value.Heading}" : "")}");
}
