// SPDX-License-Identifier: MIT
using Sweepbook.Files;

namespace Sweepbook.Cli;

/// <summary>A survey folder is read and never written into.</summary>
internal static class SurveyFolder
{
    /// <summary>Refuses a target that is the survey's folder or lies in it, links followed.</summary>
    /// <exception cref="DataFault">The target is the survey's folder or lies in it.</exception>
    public static void RefuseInside(string survey, string target)
    {
        if (PathInside.IsInside(survey, target))
            throw new DataFault(target, null, "this lies inside the survey folder, and a survey is never written into", "Choose another place with --out.");
    }

    /// <summary>Where results go if nobody says: <c>out</c> in the current folder, or beside the survey where the current folder lies in it.</summary>
    /// <param name="survey">The survey's folder.</param>
    /// <param name="name">What is written there.</param>
    public static string UsualPlace(string survey, string name)
    {
        var here = Path.Combine("out", name);
        if (!PathInside.IsInside(survey, here) || Path.GetDirectoryName(Path.TrimEndingDirectorySeparator(Path.GetFullPath(survey))) is not { } beside) return here;
        return Path.GetRelativePath(Directory.GetCurrentDirectory(), Path.Combine(beside, here));
    }

    /// <summary>The folder's own name.</summary>
    public static string NameOf(string folder) => Path.GetFileName(Path.TrimEndingDirectorySeparator(Path.GetFullPath(folder)));
}
