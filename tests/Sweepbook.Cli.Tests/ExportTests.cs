// SPDX-License-Identifier: MIT
using System.Text.Json.Nodes;
using Xunit;

namespace Sweepbook.Cli.Tests;

/// <summary>What a program of one file cannot say is refused with cell, line and a way out; what stands in the place is not overwritten.</summary>
public sealed class ExportTests : IDisposable
{
    private readonly WorkFolder _work = new();

    public void Dispose() => _work.Dispose();

    [Theory]
    [InlineData("cell 2, line 2", "another name", "var a = 1;", "a\n", "var b = 2;\nvar a = 3;")]
    [InlineData("cell 1, line 1", "#!", "#!time\n1 + 1")]
    [InlineData("cell 1, line 2", "#:package", "1 + 1;\n#r \"nuget: Some.Thing, 1.0\"")]
    [InlineData("cell 1, line 1", "into a cell", "#load \"other.csx\"")]
    [InlineData("cell 2, line 1", "another name", "var a = 1;", "foreach (var a in new[] { 1 }) { }")]
    [InlineData("cell 2, line 1", "hand it over", "var a = 1;", "class B { public int C => a; }")]
    [InlineData("cell 1, line 2", "alone as the last line", "var f = () => { return 1; };\nif (f() > 0) return 2;")]
    [InlineData("cell 1, line 1", "kernel has must go", "display(HTML(\"x\"));")]
    public void What_cannot_be_exported_is_refused_with_its_place_and_a_way_out(string place, string wayOut, params string[] cells)
    {
        var numbered = cells.Length == 3 ? new[] { cells[0], cells[2] } : cells;
        var error = Ran.In(_work.Root, "export", Notebook("a.ipynb", numbered), "--out", "a.cs").Refused(ExitCode.BadData).Error;
        Assert.Contains(place, error);
        Assert.Contains(wayOut, error);
        Assert.False(File.Exists(_work["a.cs"]));
    }

    [Fact]
    public void Types_go_behind_usings_to_the_top_and_a_last_value_is_shown()
    {
        Ran.In(_work.Root, "export", Notebook("a.ipynb", "#load \"sweepbook.csx\"\nusing System.IO; using System.Net;", "record B(int C);\nvar d = await Task.FromResult(new B(1));\n\nd.C + 1   // two",
            "display(d);\nConsole.WriteLine(Path.Combine(\"x\", \"y\"))"), "--out", "a.cs").Succeeded();
        var text = File.ReadAllText(_work["a.cs"]);
        Assert.True(text.IndexOf("using System.IO;", StringComparison.Ordinal) < text.IndexOf("Begin(", StringComparison.Ordinal));
        Assert.Contains("\nShow(d.C + 1);   // two\n", text);
        Assert.Contains("\nConsole.WriteLine(Path.Combine(\"x\", \"y\"));\n", text);
        Assert.EndsWith("\nrecord B(int C);\n", text);
        Assert.DoesNotContain("#load", text);
    }

    [Fact]
    public void A_line_within_a_text_is_no_line_for_the_kernel()
    {
        Ran.In(_work.Root, "export", Notebook("a.ipynb", "var a = \"\"\"\n    #r \"nuget: B, 1\"\n    #!time\n    \"\"\";\nvar b = @\"\n#load x\";\na + b"), "--out", "a.cs").Succeeded();
        Assert.Contains("\n    #!time\n", File.ReadAllText(_work["a.cs"]));
    }

    [Fact]
    public void Another_language_and_another_encoding_are_named()
    {
        var notebook = Notebook("a.ipynb", "1", "let a = 1");
        var text = File.ReadAllText(notebook);
        void Refused(string words, string changed, System.Text.Encoding encoding)
        {
            File.WriteAllText(notebook, changed, encoding);
            Assert.Contains(words, Ran.In(_work.Root, "export", notebook, "--out", "a.cs").Refused(ExitCode.BadData).Error);
        }
        Refused("written in python", text.Replace("\"metadata\":{},\"nbformat\"", "\"metadata\":{\"kernelspec\":{\"language\":\"python\"}},\"nbformat\""), System.Text.Encoding.UTF8);
        Refused("cell 2, line 1", Last(text, "\"metadata\":{\"polyglot_notebook\":{\"kernelName\":\"fsharp\"}},\"outputs\""), System.Text.Encoding.UTF8);
        Refused("UTF-8", text.Replace("let a", "// ü"), System.Text.Encoding.Latin1);
    }

    private static string Last(string text, string with) => text[..text.LastIndexOf("\"metadata\":{},\"outputs\"", StringComparison.Ordinal)] + with + text[(text.LastIndexOf("\"metadata\":{},\"outputs\"", StringComparison.Ordinal) + "\"metadata\":{},\"outputs\"".Length)..];

    [Fact]
    public void Only_an_earlier_export_of_the_same_notebook_is_replaced()
    {
        File.WriteAllText(_work["a.cs"], "// mine\n");
        var notebook = Notebook("a.ipynb", "1");
        Assert.Contains("not overwritten", Ran.In(_work.Root, "export", notebook, "--out", "a.cs").Refused(ExitCode.BadData).Error);
        Assert.Equal("// mine\n", File.ReadAllText(_work["a.cs"]));
        Ran.In(_work.Root, "export", notebook, "--out", "b.cs").Succeeded();
        Notebook("a.ipynb", "2");
        Ran.In(_work.Root, "export", notebook, "--out", "b.cs").Succeeded();
        Assert.Contains("Show(2);", File.ReadAllText(_work["b.cs"]));
        Assert.Contains("not an earlier export", Ran.In(_work.Root, "export", Notebook("c.ipynb", "1"), "--out", "b.cs").Refused(ExitCode.BadData).Error);
    }

    private string Notebook(string name, params string[] cells)
    {
        var root = new JsonObject
        {
            ["cells"] = new JsonArray([.. cells.Select(source => (JsonNode)new JsonObject { ["cell_type"] = "code", ["metadata"] = new JsonObject(), ["outputs"] = new JsonArray(), ["execution_count"] = null, ["source"] = source })]),
            ["metadata"] = new JsonObject(),
            ["nbformat"] = 4,
            ["nbformat_minor"] = 4,
        };
        File.WriteAllText(_work[name], root.ToJsonString());
        return _work[name];
    }
}
