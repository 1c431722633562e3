// SPDX-License-Identifier: MIT
using System.Text.RegularExpressions;
using Sweepbook.Files;

namespace Sweepbook.Report;

/// <summary>Makes the exercise that a student opens from the solution that a person wrote: the same notebook with places where the answers were.</summary>
/// <remarks>
/// A cell tagged <c>answer</c> holds one line <c>double NAME = …;   // your answer, in …</c>: only that line stays, with NaN as its value. A cell tagged
/// <c>solution</c>, text or code, is left out. <c>.Require(</c>, which stops a solution at a wrong answer, becomes <c>.Check(</c>. The solution lies one folder
/// deeper, so relative paths lose one <c>../</c>. Outputs and cell metadata other than tags go. The same solution gives the same bytes. Own convention.
/// </remarks>
internal static partial class ExerciseNotebook
{
    private const string AnswerTag = "answer";
    private const string SolutionTag = "solution";

    /// <summary>The exercise of a solution.</summary>
    /// <param name="path">The solution, an <c>.ipynb</c> file.</param>
    /// <returns>The exercise as the text of its file.</returns>
    /// <exception cref="DataFault">It is no notebook, or an answer cell does not hold exactly one answer.</exception>
    public static string Derive(string path)
    {
        var notebook = NotebookFile.Read(path);
        notebook.Remove(cell => cell.Tags.Contains(SolutionTag));
        var answers = 0;
        foreach (var cell in notebook.Cells)
        {
            cell.KeepTagsOnly();
            if (cell.IsCode) (cell.Outputs, cell.ExecutionCount) = ([], null);
            var isAnswer = cell.IsCode && cell.Tags.Contains(AnswerTag);
            if (isAnswer) answers++;
            cell.Lines = isAnswer ? Place(cell.Source, path) : cell.IsCode ? Code(cell.Source) : Links().Replace(cell.Source, "](");
        }
        if (answers == 0)
            throw new DataFault(path, null, "none of its cells is tagged answer, so there is nothing to ask", "Tag the cell that holds the answer, or keep this notebook out of the folder of solutions.");
        return notebook.ToText();
    }

    private static string Place(string source, string path)
    {
        var lines = source.Split('\n').Select(line => Answer().Match(line)).Where(match => match.Success).ToArray();
        return lines.Length == 1 ? $"double {lines[0].Groups["name"].Value} = double.NaN;   // {lines[0].Groups["words"].Value}"
            : throw new DataFault(path, null, $"a cell tagged answer holds {lines.Length} answers, and it must hold one: {source.Split('\n')[0]}",
                "Write the answer as one line: double NAME = …;   // your answer, in …");
    }

    private static string Code(string source) => Paths().Replace(source, "\"").Replace(".Require(", ".Check(", StringComparison.Ordinal);

    [GeneratedRegex(@"^double (?<name>\w+) = .*;\s*// (?<words>your answer, .+?)\s*$")]
    private static partial Regex Answer();

    [GeneratedRegex("""
        "\.\./
        """)]
    private static partial Regex Paths();

    [GeneratedRegex(@"\]\(\.\./")]
    private static partial Regex Links();
}
