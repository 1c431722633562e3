namespace Sweepbook.Notebook.Tests;

public sealed class SmokeTests { [Xunit.Fact] public void It_builds() => Xunit.Assert.True(true); }
