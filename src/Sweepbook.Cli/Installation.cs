// SPDX-License-Identifier: MIT
using Sweepbook.Files;

namespace Sweepbook.Cli;

/// <summary>Where the files are that the command brings along.</summary>
internal static class Installation
{
    /// <summary>The repository: the nearest folder above the program that holds the notebooks' set-up.</summary>
    public static string Root { get; } = FindRoot();

    /// <summary>The notebook of the report.</summary>
    public static string ReportNotebook => Path.Combine(Root, "notebooks", "room-report.ipynb");

    private static string FindRoot()
    {
        for (var folder = new DirectoryInfo(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
            if (File.Exists(Path.Combine(folder.FullName, "notebooks", "sweepbook.csx"))) return folder.FullName;
        throw new DataFault(AppContext.BaseDirectory, null, "the notebooks are not above this folder", "Run sweepbook from its repository, where it was built.");
    }
}
