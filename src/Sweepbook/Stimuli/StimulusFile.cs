// SPDX-License-Identifier: MIT
namespace Sweepbook.Stimuli;

/// <summary>A stimulus as a survey names it; reading its samples is a step of its own.</summary>
/// <param name="Id">Its name in the survey.</param>
/// <param name="File">The description file, relative to the survey folder.</param>
/// <param name="Path">The description file, absolute.</param>
/// <param name="Line">Where the survey names it, counted from 1.</param>
public sealed record StimulusFile(string Id, string File, string Path, int Line);
