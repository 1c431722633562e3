// SPDX-License-Identifier: MIT
using Sweepbook.Report;

namespace Sweepbook.Cli;

/// <summary>Says in words which part of a notebook has begun; steps under the same heading are told once.</summary>
/// <param name="words">Where it is said.</param>
/// <param name="opening">What is done under the notebook's first heading, its title; null: the title itself.</param>
internal sealed class Steps(IProgress<string> words, string? opening = null) : IProgress<RunProgress>
{
    private const int LongestHeading = 48;   // with the number before and the seconds behind, a line of 80 columns

    private string? _title;
    private string? _told;

    /// <inheritdoc/>
    public void Report(RunProgress value)
    {
        _title ??= value.Heading;
        if (value.Heading.Length > 0 && value.Heading == _told) return;
        _told = value.Heading;
        var heading = value.Heading == _title && opening is not null ? opening : value.Heading;
        if (heading.Length > LongestHeading) heading = heading[..LongestHeading].TrimEnd() + "…";
        words.Report($"Step {value.Cell} of {value.Of}{(heading.Length > 0 ? $": {heading}" : "")}");
    }
}
