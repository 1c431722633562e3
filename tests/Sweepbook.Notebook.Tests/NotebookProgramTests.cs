// SPDX-License-Identifier: MIT
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed class NotebookProgramTests
{
    [Fact]
    public void A_value_from_the_command_line_is_read_in_the_invariant_culture_or_refused()
    {
        Assert.True(NotebookProgram.TryRead<double>("1.5e2", out var number) && number == 150);
        Assert.True(NotebookProgram.TryRead<int>("-3", out var whole) && whole == -3);
        Assert.True(NotebookProgram.TryRead<bool>("true", out var flag) && flag);
        Assert.True(NotebookProgram.TryRead<string>("a b=c", out var text) && text == "a b=c");
        Assert.False(NotebookProgram.TryRead<double>("1,5", out _));   // neither 15 nor 1.5
        Assert.False(NotebookProgram.TryRead<int>("1.5", out _));
        Assert.False(NotebookProgram.TryRead<bool>("yes", out _));
    }
}
