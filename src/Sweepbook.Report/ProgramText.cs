// SPDX-License-Identifier: MIT
using System.Text;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;
using Microsoft.CodeAnalysis.Text;
using Sweepbook.Files;

namespace Sweepbook.Report;

/// <summary>The cells of a notebook put together as a program, with the way back from a place in the program to its cell and line.</summary>
internal sealed class ProgramText
{
    private const string Runtime = "Sweepbook.Notebook.NotebookProgram";

    // what the notebook kernel has in scope before the first cell
    private static readonly string[] Usual =
        ["using System;", "using System.Text;", "using System.Collections;", "using System.Collections.Generic;", "using System.Threading.Tasks;", "using System.Linq;", $"using static {Runtime};"];

    private readonly StringBuilder _text = new();
    private readonly List<(int Start, int Cell, int Line)> _places = [];   // lines of the program that came from a cell

    private int _lines;

    /// <summary>The program, compiled once in memory without an error.</summary>
    /// <exception cref="DataFault">A cell cannot be part of a program.</exception>
    public static string Checked(NotebookFile notebook, string shownAs, string head, string folder)
    {
        var number = 0;
        var cells = new List<(NotebookCell Cell, ProgramCell? Code)>();
        foreach (var cell in notebook.Cells)
        {
            if (cell.IsCode) number++;
            if (cell.IsCode && cell.OtherLanguage is { Length: > 0 } other)
                throw new DataFault(shownAs, null, $"cell {number}, line 1 cannot be part of a program of one file: the cell is written in {other}", "Write it in C#, or leave it out.");
            if (cell.IsCode || cell.IsMarkdown) cells.Add((cell, cell.IsCode && !string.IsNullOrWhiteSpace(cell.Source) ? ProgramCell.Of(cell.Source, number, shownAs) : null));
        }
        var program = new ProgramText();
        program.Put(cells, head, folder, new HashSet<int>());
        var silent = program.Fault(shownAs);
        if (silent.Count == 0) return program._text.ToString();
        program = new();
        program.Put(cells, head, folder, silent);   // a last call that gives nothing is a statement, not a value
        program.Fault(shownAs);
        return program._text.ToString();
    }

    private void Put(IReadOnlyList<(NotebookCell Cell, ProgramCell? Code)> cells, string head, string folder, IReadOnlySet<int> silent)
    {
        Line(head);
        var codes = cells.Where(entry => entry.Code is not null).Select(entry => entry.Code!).ToArray();
        var seen = new HashSet<string>(StringComparer.Ordinal);
        foreach (var line in Usual.Where(seen.Add)) Line(line);
        foreach (var code in codes)
            foreach (var (text, from) in code.Usings)
                if (seen.Add(text)) Line(text, code.Number, from);
        var names = cells.Where(entry => entry.Code is not null && entry.Cell.Tags.Contains("parameters")).SelectMany(entry => entry.Code!.Variables).ToArray();
        Line();
        Line($"Begin(args, {Quoted(folder)}{string.Concat(names.Select(name => ", " + Quoted(name)))});");
        foreach (var (cell, code) in cells)
        {
            if (code is null)
            {
                if (!cell.IsMarkdown) continue;
                Line();
                foreach (var line in cell.Source.TrimEnd().Split('\n')) Line(("// " + line.TrimEnd('\r')).TrimEnd());
                continue;
            }
            Line();
            Line($"Cell({code.Number});");
            foreach (var (text, from) in code.Statements(silent.Contains(code.Number))) Line(text, code.Number, from);
            if (cell.Tags.Contains("parameters"))
                foreach (var name in code.Variables) Line($"{name} = Value({Quoted(name)}, {name});");
        }
        foreach (var code in codes)
            foreach (var (text, from) in code.Types)
            {
                if (from == 0) Line();
                else Line(text, code.Number, from);
            }
    }

    private void Line(string text = "", int cell = 0, int from = 0)
    {
        if (cell > 0) _places.Add((_lines, cell, from));
        _text.Append(text).Append('\n');
        _lines += 1 + text.Count(c => c == '\n');
    }

    private static string Quoted(string text) => NotebookFile.Literal(text);

    /// <summary>Throws at the first error of the compiler; otherwise the cells whose last call gives no value.</summary>
    private HashSet<int> Fault(string shownAs)
    {
        var compilation = Compilation(_text.ToString());
        var tree = compilation.SyntaxTrees[0];
        var model = compilation.GetSemanticModel(tree);
        var silent = tree.GetRoot().DescendantNodes().OfType<InvocationExpressionSyntax>()
            .Where(call => call is { Expression: IdentifierNameSyntax { Identifier.Text: "Show" }, ArgumentList.Arguments: [var only] } && model.GetTypeInfo(only.Expression).Type?.SpecialType == SpecialType.System_Void)
            .Select(call => PlaceOf(call.GetLocation()).Cell).ToHashSet();
        if (silent.Count > 0) return silent;
        var error = compilation.GetDiagnostics().FirstOrDefault(one => one.Severity == DiagnosticSeverity.Error);
        if (error is null) return [];
        var (cell, line) = PlaceOf(error.Location);
        throw new DataFault(shownAs, null, $"cell {cell}, line {line} cannot be part of a program of one file: {error.GetMessage().TrimEnd('.')} ({error.Id})", WayOut(error.Id));
    }

    /// <summary>The program as the compiler of <c>dotnet run FILE.cs</c> sees it.</summary>
    internal static CSharpCompilation Compilation(string text) => CSharpCompilation.Create("exported",
        [CSharpSyntaxTree.ParseText(SourceText.From(text), new CSharpParseOptions(LanguageVersion.CSharp14, DocumentationMode.None, SourceCodeKind.Regular, []).WithFeatures([new("FileBasedProgram", "true")]))],
        References.Value, new CSharpCompilationOptions(OutputKind.ConsoleApplication, nullableContextOptions: NullableContextOptions.Disable));

    private (int Cell, int Line) PlaceOf(Location location)
    {
        var line = location.GetLineSpan().StartLinePosition.Line;
        var (start, cell, from) = _places.LastOrDefault(place => place.Start <= line);
        return (cell, from + line - start);
    }

    private static string WayOut(string error) => error switch
    {
        "CS0128" or "CS0136" or "CS0111" or "CS0101" => "Give one of the two another name: a program has every name once.",
        "CS8801" => "A type or a static function sees no variable of a cell: hand it over as a parameter.",
        "CS0103" => "A type or a static function sees no variable of a cell (hand it over as a parameter), and what only the notebook kernel has must go.",
        "CS0106" or "CS9348" => "Take the word before it away: in a program a cell's functions and variables are local.",
        "CS1537" => "Give one of the two usings another name.",
        "CS0841" or "CS0165" => "Put the cell that gives it a value before the one that uses it.",
        "CS1061" => "Call display(…) to show a value.",
        _ => "Run the notebook to see whether it works there, then write that line in plain C#.",
    };

    // everything this process may load, the notebook kernel aside: the program has to do without
    private static readonly Lazy<IReadOnlyList<MetadataReference>> References = new(() => [.. ((string)AppContext.GetData("TRUSTED_PLATFORM_ASSEMBLIES")!).Split(Path.PathSeparator)
        .Where(path => !Path.GetFileName(path).StartsWith("Microsoft.DotNet.Interactive", StringComparison.Ordinal)).Select(path => MetadataReference.CreateFromFile(path))]);
}
