// SPDX-License-Identifier: MIT
using System.Text.RegularExpressions;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;
using Microsoft.CodeAnalysis.Text;
using Sweepbook.Files;

namespace Sweepbook.Report;

/// <summary>One cell taken apart: usings go to the top of a program, types to its end, the rest stays, and a last value is shown.</summary>
internal sealed partial class ProgramCell
{
    private readonly string _source;
    private readonly CompilationUnitSyntax _root;

    private ProgramCell(string source, CompilationUnitSyntax root, int number) => (_source, _root, Number) = (source, root, number);

    /// <summary>The code cell, counted from 1.</summary>
    public int Number { get; }

    /// <exception cref="DataFault">The cell holds what no program can say, or is no C#.</exception>
    public static ProgramCell Of(string source, int number, string shownAs)
    {
        source = source.Replace("\r\n", "\n");
        var text = SourceText.From(source);
        var tree = CSharpSyntaxTree.ParseText(text, new CSharpParseOptions(LanguageVersion.CSharp14, DocumentationMode.None, SourceCodeKind.Script, []));
        foreach (var line in text.Lines)
            if (Refused(line.ToString()) is { } refusal && !IsInText(tree, line.Start)) throw Fault(shownAs, number, line.LineNumber + 1, refusal.Problem, refusal.WayOut);
        if (tree.GetDiagnostics().FirstOrDefault(one => one.Severity == DiagnosticSeverity.Error) is { } error)
            throw Fault(shownAs, number, error.Location.GetLineSpan().StartLinePosition.Line + 1, error.GetMessage().TrimEnd('.'), "Run the notebook and mend the cell first.");
        if (tree.GetRoot().DescendantNodes(node => node is not (LambdaExpressionSyntax or AnonymousMethodExpressionSyntax or LocalFunctionStatementSyntax or BaseMethodDeclarationSyntax or BaseTypeDeclarationSyntax)).OfType<ReturnStatementSyntax>().FirstOrDefault() is { } end)
            throw Fault(shownAs, number, end.GetLocation().GetLineSpan().StartLinePosition.Line + 1, "`return` would end the whole program there", "Write the value alone as the last line of the cell.");
        return new(source, tree.GetCompilationUnitRoot(), number);
    }

    /// <summary>The usings, each with its line.</summary>
    public IEnumerable<(string Text, int Line)> Usings => _root.Usings.Select(one => (one.ToString(), LineOf(one.SpanStart)));

    /// <summary>The types that the cell declares, each with its line; a line 0 goes before each.</summary>
    public IEnumerable<(string Text, int Line)> Types => _root.Members.Where(IsType).SelectMany(type => new[] { ("", 0), (type.ToString(), LineOf(type.SpanStart)) });

    /// <summary>The names of the variables that the cell declares on its own level.</summary>
    public IEnumerable<string> Variables => _root.Members.OfType<FieldDeclarationSyntax>().SelectMany(declared => declared.Declaration.Variables).Select(variable => variable.Identifier.Text);

    /// <summary>What stays in its place, line by line, with the lines of the cell.</summary>
    /// <param name="isSilent">The last call gives no value.</param>
    public IEnumerable<(string Text, int Line)> Statements(bool isSilent)
    {
        var changes = _root.Usings.Select(one => new TextChange(one.Span, ""))
            .Concat(_root.DescendantTrivia(descendIntoTrivia: true).Where(trivia => trivia.IsDirective).Select(trivia => new TextChange(trivia.Span, trivia.ToString().EndsWith('\n') ? "\n" : "")))
            .Concat(_root.Members.Where(IsType).Select(type => new TextChange(type.Span, new string('\n', type.ToString().Count(c => c == '\n')))))
            .ToList();
        if (_root.Members.LastOrDefault(member => !IsType(member)) is GlobalStatementSyntax { Statement: ExpressionStatementSyntax { SemicolonToken.IsMissing: true } last })
        {
            var value = last.Expression.Span;
            changes.Add(new(new(value.Start, 0), isSilent ? "" : "Show("));
            changes.Add(new(new(value.End, 0), isSilent ? ";" : ");"));
        }
        var (old, lines) = (_source.Split('\n'), SourceText.From(_source).WithChanges(changes.OrderBy(change => change.Span.Start)).ToString().Split('\n'));
        return lines.Index().Where(entry => !string.IsNullOrWhiteSpace(entry.Item) || string.IsNullOrWhiteSpace(old[entry.Index])).Select(entry => (entry.Item, entry.Index + 1));
    }

    /// <summary>True where a line begins within a text of several lines: nothing is meant by it.</summary>
    private static bool IsInText(SyntaxTree tree, int start) => tree.GetRoot().FindToken(start) is var token && token.SpanStart < start && start < token.Span.End;

    private int LineOf(int position) => _root.SyntaxTree.GetLineSpan(new(position, 0)).StartLinePosition.Line + 1;

    private static bool IsType(MemberDeclarationSyntax member) => member is BaseTypeDeclarationSyntax or DelegateDeclarationSyntax or BaseNamespaceDeclarationSyntax;

    private static (string Problem, string WayOut)? Refused(string line)
    {
        if (Magic().IsMatch(line)) return ("a line for the notebook kernel (#!) means nothing to a program", "Write it in C#, or leave it out.");
        if (Package().Match(line) is { Success: true } package) return ("a package is fetched there", $"Leave the line out and put `#:package {package.Groups["name"].Value.Trim()}@VERSION` at the top of the exported file.");
        if (Load().Match(line) is { Success: true } load && Path.GetFileName(load.Groups["file"].Value) != SetupScript.FileName) return ("another script is loaded there", "Put what it says into a cell.");
        if (Assembly().Match(line) is { Success: true } assembly && !OurFolder().IsMatch(assembly.Groups["file"].Value)) return ("an assembly of its own is referred to there", "Leave the line out and put `#:project` or `#:package` at the top of the exported file.");
        return null;
    }

    private static DataFault Fault(string shownAs, int cell, int line, string problem, string wayOut) =>
        new(shownAs, null, $"cell {cell}, line {line} cannot be part of a program of one file: {problem}", wayOut);

    [GeneratedRegex(@"^\s*#!")]
    private static partial Regex Magic();

    [GeneratedRegex("""^\s*#r\s+"nuget:(?<name>[^,"]*)""", RegexOptions.IgnoreCase)]
    private static partial Regex Package();

    [GeneratedRegex("""^\s*#load\s+"(?<file>[^"]*)""")]
    private static partial Regex Load();

    [GeneratedRegex("""^\s*#r\s+"(?<file>[^"]*)""")]
    private static partial Regex Assembly();

    [GeneratedRegex(@"artifacts[/\\]notebook[/\\][^/\\]+\.dll$")]
    private static partial Regex OurFolder();
}
