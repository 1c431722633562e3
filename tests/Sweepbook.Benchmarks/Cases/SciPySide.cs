// SPDX-License-Identifier: MIT
namespace Sweepbook.Benchmarks.Cases;

/// <summary>Where the SciPy side lives: Debian's Python where there is one, else the first on the path; the scripts of this clone.</summary>
public static class SciPySide
{
    private const string DebianPython = "/usr/bin/python3";

    /// <summary>The interpreter.</summary>
    public static string Python => File.Exists(DebianPython) ? DebianPython : "python3";

    /// <summary>The root of this clone: the nearest folder above the program that holds the solution.</summary>
    public static string Root
    {
        get
        {
            var folder = new DirectoryInfo(AppContext.BaseDirectory);
            while (!File.Exists(Path.Combine(folder.FullName, "Sweepbook.slnx")))
                folder = folder.Parent ?? throw new DirectoryNotFoundException($"No Sweepbook.slnx above {AppContext.BaseDirectory}; run this from a clone.");
            return folder.FullName;
        }
    }

    /// <summary>The script that serves any case.</summary>
    public static string WorkScript => Path.Combine(Root, "tests", "Sweepbook.Benchmarks", "scipy", "work.py");
}
