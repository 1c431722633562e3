// SPDX-License-Identifier: MIT
using Sweepbook.Files;

namespace Sweepbook.Cli;

/// <summary>A survey folder is read and never written into.</summary>
internal static class SurveyFolder
{
    /// <summary>Refuses a target inside the survey.</summary>
    /// <exception cref="DataFault">The target is the survey's folder or lies in it.</exception>
    public static void RefuseInside(string survey, string target)
    {
        var inside = Path.GetRelativePath(survey, Path.GetFullPath(target));
        if (inside == "." || !inside.StartsWith("..", StringComparison.Ordinal) && !Path.IsPathRooted(inside))
            throw new DataFault(target, null, "this lies inside the survey folder, and a survey is never written into", "Choose another place with --out.");
    }

    /// <summary>The folder's own name.</summary>
    public static string NameOf(string folder) => Path.GetFileName(Path.TrimEndingDirectorySeparator(Path.GetFullPath(folder)));
}
