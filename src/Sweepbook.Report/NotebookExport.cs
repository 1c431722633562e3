// SPDX-License-Identifier: MIT
using System.Text;
using Sweepbook.Files;

namespace Sweepbook.Report;

/// <summary>Writes a notebook as one C# file that <c>dotnet run FILE.cs</c> executes: the way out of any notebook kernel.</summary>
public static class NotebookExport
{
    private const string Opening = "// Exported by Sweepbook from ";
    private const string Project = "src/Sweepbook.Notebook";

    /// <summary>Writes the file: the same cells in the same order, their text as comments, what they show as text under the number of the cell.</summary>
    /// <param name="notebook">An <c>.ipynb</c> file of C# cells; it is not changed.</param>
    /// <param name="output">Where the file goes; an earlier export of the same notebook is replaced in one piece.</param>
    /// <param name="repository">The folder of the project, whose library the file refers to.</param>
    /// <exception cref="DataFault">
    /// It is no notebook, a cell holds what a program of one file cannot say (the fault names cell, line and way out), or something else stands at <paramref name="output"/>.
    /// </exception>
    /// <remarks>
    /// The file is compiled in memory before it is written, so what is written can be built. Misleads where a cell depends on what only a kernel has: widgets, magic lines, packages fetched on the way.
    /// Own convention; a program of one file is described in Microsoft's ".NET 10: file-based apps".
    /// </remarks>
    public static void Write(string notebook, string output, string repository)
    {
        ArgumentException.ThrowIfNullOrEmpty(notebook);
        ArgumentException.ThrowIfNullOrEmpty(output);
        ArgumentException.ThrowIfNullOrEmpty(repository);
        var file = NotebookFile.Read(notebook);
        var first = Opening + PathFrom(repository, notebook);
        RefuseOther(output, first);
        var text = ProgramText.Checked(file, notebook, Head(first, output, repository), PathFor(output, Path.GetDirectoryName(Path.GetFullPath(notebook))!, repository));
        AtomicFile.Write(output, stream => stream.Write(new UTF8Encoding(false).GetBytes(text)));
    }

    private static string Head(string first, string output, string repository) => string.Join('\n',
        first,
        $"// Run it:  dotnet run {Path.GetFileName(output)}      It builds the library once and prints what each cell shows.",
        $"#:project {PathFor(output, Path.Combine(repository, Project), repository)}",
        "#:property PublishAot=false",
        "#:property ImplicitUsings=disable",
        "#:property Nullable=disable",
        "#:property TreatWarningsAsErrors=false",
        "#:property RestorePackagesWithLockFile=false",
        "#:property NuGetAudit=false",
        "#pragma warning disable");

    /// <summary>Relative where both lie in the repository, so that it can move as a whole; from the root of the machine otherwise.</summary>
    private static string PathFor(string output, string target, string repository)
    {
        var folder = Path.GetDirectoryName(Path.GetFullPath(output))!;
        var path = IsInside(folder, repository) && IsInside(target, repository) ? Path.GetRelativePath(folder, target) : Path.GetFullPath(target);
        return path.Replace('\\', '/');
    }

    private static string PathFrom(string repository, string path) =>
        (IsInside(Path.GetFullPath(path), repository) ? Path.GetRelativePath(repository, path) : Path.GetFullPath(path)).Replace('\\', '/');

    private static bool IsInside(string path, string folder) =>
        Path.GetRelativePath(folder, path) is var way && way != ".." && !way.StartsWith(".." + Path.DirectorySeparatorChar, StringComparison.Ordinal) && !Path.IsPathRooted(way);

    private static void RefuseOther(string output, string first)
    {
        if (!output.EndsWith(".cs", StringComparison.OrdinalIgnoreCase))
            throw new DataFault(output, null, "a C# file is written, and this name has another ending", "Choose a name that ends in .cs.");
        if (!File.Exists(output)) return;
        using var reader = new StreamReader(output);
        if (reader.ReadLine() != first)
            throw new DataFault(output, null, "this file is not an earlier export of this notebook and is not overwritten", "Choose another name with --out, or move the file away first.");
    }
}
