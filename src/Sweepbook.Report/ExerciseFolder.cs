// SPDX-License-Identifier: MIT
using System.Text;
using Sweepbook.Files;

namespace Sweepbook.Report;

/// <summary>The maintainers' tool that writes the exercise of every solution, or says which are not what it would write.</summary>
/// <remarks>Solutions lie in <c>solutions</c> inside the folder of notebooks, their exercises in that folder under the same name. Own convention.</remarks>
internal static class ExerciseFolder
{
    public const string Verb = "exercises";
    public const string Solutions = "solutions";

    private const string Usage = "Use: dotnet run --project src/Sweepbook.Report -- exercises notebooks [--check]";

    /// <summary>Runs the tool.</summary>
    /// <param name="arguments">The verb, the folder of notebooks, and <c>--check</c> to write nothing.</param>
    /// <returns>0: done, or all are as they should be; 1: a solution is faulty, or an exercise is not what its solution gives; 2: used wrongly.</returns>
    public static int Run(IReadOnlyList<string> arguments)
    {
        var check = arguments.Contains("--check");
        var folders = arguments.Skip(1).Where(argument => argument != "--check").ToArray();
        if (folders is not [var folder] || !Directory.Exists(Path.Combine(folder, Solutions)))
        {
            Console.Error.WriteLine(folders.Length == 1 ? $"{folders[0]}: holds no folder {Solutions}. {Usage}" : Usage);
            return 2;
        }
        try
        {
            var stale = Derive(folder).Where(exercise => !File.Exists(exercise.Path) || File.ReadAllText(exercise.Path) != exercise.Text).ToArray();
            foreach (var (path, text) in stale)
            {
                if (!check) AtomicFile.Write(path, stream => stream.Write(new UTF8Encoding(false).GetBytes(text)));
                Console.WriteLine(check ? $"{path}: is not what its solution gives. {Usage.Replace(" [--check]", "")}" : $"{path}: written");
            }
            return check && stale.Length > 0 ? 1 : 0;
        }
        catch (DataFault fault)
        {
            Console.Error.WriteLine(fault.Message);
            return 1;
        }
    }

    /// <summary>Every exercise with the text that its solution gives, in the order of their names.</summary>
    public static IReadOnlyList<(string Path, string Text)> Derive(string folder) =>
        [.. Directory.GetFiles(Path.Combine(folder, Solutions), "*.ipynb").Order(StringComparer.Ordinal)
            .Select(path => (Path.Combine(folder, Path.GetFileName(path)), ExerciseNotebook.Derive(path)))];
}
