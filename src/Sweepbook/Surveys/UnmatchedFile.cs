// SPDX-License-Identifier: MIT
namespace Sweepbook.Surveys;

/// <summary>A recording that lies among the takes and whose name the pattern does not fit.</summary>
/// <param name="File">Path relative to the survey folder.</param>
/// <param name="Advice">What name would fit, as a sentence.</param>
public readonly record struct UnmatchedFile(string File, string Advice);
