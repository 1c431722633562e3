// SPDX-License-Identifier: MIT
using System.Text.RegularExpressions;

namespace Sweepbook.Report;

/// <summary>Lets a notebook that lies elsewhere find the set-up script that the notebooks load in their first cell.</summary>
internal static partial class SetupScript
{
    public const string FileName = "sweepbook.csx";

    /// <summary>A cell whose <c>#load "sweepbook.csx"</c> names the script of this installation where none lies beside the notebook.</summary>
    /// <param name="source">The cell; only what is executed changes, not what the notebook says.</param>
    /// <param name="folder">The folder of the notebook.</param>
    public static string Found(string source, string folder) =>
        !File.Exists(Path.Combine(folder, FileName)) && Installed() is { } script ? Load().Replace(source, match => $"{match.Groups["load"].Value}\"{script}\"") : source;

    /// <summary>The script in the folder of notebooks above this program.</summary>
    private static string? Installed()
    {
        for (var folder = new DirectoryInfo(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
            if (Path.Combine(folder.FullName, "notebooks", FileName) is var script && File.Exists(script)) return script;
        return null;
    }

    [GeneratedRegex("""^(?<load>[ \t]*#load[ \t]+)"sweepbook\.csx"(?=[ \t]*\r?$)""", RegexOptions.Multiline)]
    private static partial Regex Load();
}
