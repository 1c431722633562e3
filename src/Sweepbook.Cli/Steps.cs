// SPDX-License-Identifier: MIT
using Sweepbook.Report;

namespace Sweepbook.Cli;

/// <summary>Says in words which step of a notebook has begun.</summary>
internal sealed class Steps(IProgress<string> words) : IProgress<RunProgress>
{
    private const int LongestHeading = 48;   // with the number before and the seconds behind, a line of 80 columns

    /// <inheritdoc/>
    public void Report(RunProgress value)
    {
        var heading = value.Heading.Length > LongestHeading ? value.Heading[..LongestHeading].TrimEnd() + "…" : value.Heading;
        words.Report($"Step {value.Cell} of {value.Of}{(heading.Length > 0 ? $": {heading}" : "")}");
    }
}
