// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Text.Json.Nodes;
using Sweepbook.Report;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>What a cell may write before it is cut short or stopped.</summary>
public sealed partial class NotebookRunTests
{
    [Fact]
    public async Task Writing_much_to_standard_error_ends()
    {
        const int Lines = 20000;
        var result = await Run(TestCell.Code($"for (var k = 0; k < {Lines}; k++) Console.Error.WriteLine(k);"));
        Assert.Null(result.Failure);
        Assert.Equal(Lines, ((string?)Outputs(0)[0]["text"])!.Count(c => c == '\n'));
    }

    [Fact]
    public async Task Of_a_long_text_the_first_million_characters_are_kept_and_the_run_goes_on()
    {
        var result = await Run(TestCell.Code("for (var k = 0; k < 30; k++) Console.Write(new string('x', 100_000));"), TestCell.Code("Console.Write(\"after\");"));
        Assert.Null(result.Failure);
        var text = (string?)Outputs(0)[0]["text"]!;
        Assert.Equal(CellOutputs.MostText, text!.Count(c => c == 'x'));
        Assert.EndsWith("… cut off after 1 000 000 characters\n", text);
        Assert.Equal("after", (string?)Outputs(1)[0]["text"]);
    }

    [Fact]
    public async Task A_cell_that_writes_without_end_is_stopped_long_before_its_time_is_up()
    {
        var result = await Run(TestCell.Code("while (true) Console.WriteLine(6);"));
        Assert.Equal((1, "Flood"), (result.Failure!.Cell, result.Failure.Kind));
        Assert.Equal("Flood", (string?)Outputs(0)[^1]["ename"]);
    }

    [Fact]
    public async Task A_line_without_end_past_the_kernel_neither_fills_the_memory_nor_hides_what_follows()
    {
        var result = await Run(TestCell.Code("var past = Console.OpenStandardOutput(); var much = new byte[1 << 20]; Array.Fill(much, (byte)'y'); for (var k = 0; k < 20; k++) past.Write(much);"),
            TestCell.Code("throw new Exception(new string('z', 2_000_000));"));
        Assert.Equal((2, "Exception"), (result.Failure!.Cell, result.Failure.Kind));
        Assert.EndsWith("z …", result.Failure.Message);
        var lines = new BoundedLines(new StringReader(new string('y', 3 * BoundedLines.Longest) + "\r\nshort\r\n" + new string('y', 2 * BoundedLines.Longest) + ChildMessage.Mark + "kept\nlast"));
        Assert.Equal(BoundedLines.Longest, (await lines.NextAsync(TestContext.Current.CancellationToken))!.Length);
        foreach (var line in new[] { "short", ChildMessage.Mark + "kept", "last", null })
            Assert.Equal(line, await lines.NextAsync(TestContext.Current.CancellationToken));
    }
}
