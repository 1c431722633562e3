// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Xunit;

namespace Sweepbook.Tests.Files;

public class PathInsideTests
{
    private static string Resolve(string folder, string relative) => PathInside.Resolve(folder, relative, "survey.toml", 7);

    [Theory]
    [InlineData("takes/a.wav", "takes/a.wav"), InlineData("./a.wav", "a.wav"), InlineData("takes//a.wav", "takes/a.wav"), InlineData("..a/b..", "..a/b..")]
    [InlineData("Küche/sofa 1.wav", "Küche/sofa 1.wav")]
    public void A_path_inside_is_made_absolute(string relative, string expected)
    {
        using var folder = new TemporaryFolder();
        Assert.Equal(Path.GetFullPath(folder[expected]), Resolve(folder.Path, relative));
    }

    [Theory]
    [InlineData("../a.wav", "the path \"../a.wav\" leaves the survey folder")]
    [InlineData("takes/../../a.wav", "the path \"takes/../../a.wav\" leaves the survey folder")]
    [InlineData("takes/..", "the path \"takes/..\" leaves the survey folder")]
    [InlineData("/etc/passwd", "the path \"/etc/passwd\" is absolute")]
    [InlineData("~/a.wav", "the path \"~/a.wav\" is absolute")]
    [InlineData("C:/a.wav", "the path \"C:/a.wav\" is absolute")]
    [InlineData("c:a.wav", "the path \"c:a.wav\" is absolute")]
    [InlineData(@"takes\a.wav", @"the path ""takes\a.wav"" has a backslash")]
    [InlineData(@"\\host\share\a.wav", @"the path ""\\host\share\a.wav"" has a backslash")]
    [InlineData(@"..\a.wav", @"the path ""..\a.wav"" has a backslash")]
    [InlineData("a\0b.wav", "the path \"a?b.wav\" holds a control character")]
    [InlineData("a\n.wav", "the path \"a?.wav\" holds a control character")]
    [InlineData("", "a path is empty")]
    [InlineData("  ", "a path is empty")]
    public void A_path_that_may_leave_is_refused_with_its_line(string relative, string problem)
    {
        using var folder = new TemporaryFolder();
        var fault = Assert.Throws<DataFault>(() => Resolve(folder.Path, relative));
        Assert.Equal(("survey.toml", 7, problem), (fault.File, fault.Line, fault.Problem));
    }

    [Fact]
    public void The_whole_sentence_says_what_to_do()
    {
        var fault = Assert.Throws<DataFault>(() => Resolve(Path.GetTempPath(), "../a.wav"));
        Assert.Equal("survey.toml:7: the path \"../a.wav\" leaves the survey folder. Put the file into the survey folder and name it without \"..\".", fault.Message);
    }

    [Theory, InlineData("file"), InlineData("folder/a.wav"), InlineData("chain/a.wav"), InlineData("climb/a.wav")]
    public void A_link_that_leaves_the_folder_is_refused(string relative)
    {
        using var outside = new TemporaryFolder();
        using var folder = new TemporaryFolder();
        var survey = Directory.CreateDirectory(folder["survey"]).FullName;
        File.CreateSymbolicLink(Path.Combine(survey, "file"), outside.Put("a.wav", "x"));
        Directory.CreateSymbolicLink(Path.Combine(survey, "folder"), outside.Path);
        Directory.CreateSymbolicLink(Path.Combine(survey, "chain"), "folder");
        Directory.CreateSymbolicLink(Path.Combine(survey, "climb"), "../");
        var fault = Assert.Throws<DataFault>(() => Resolve(survey, relative));
        Assert.Equal($"the path \"{relative}\" is a link that leaves the survey folder", fault.Problem);
    }

    [Fact]
    public void A_neighbour_whose_name_begins_alike_is_outside()
    {
        using var folder = new TemporaryFolder();
        Directory.CreateDirectory(folder["den"]);
        Directory.CreateDirectory(folder["den-2"]);
        Directory.CreateSymbolicLink(folder["den/link"], folder["den-2"]);
        Assert.Throws<DataFault>(() => Resolve(folder["den"], "link/a.wav"));
    }

    [Fact]
    public void A_link_that_stays_inside_is_fine_and_so_is_a_survey_behind_a_link()
    {
        using var folder = new TemporaryFolder();
        Directory.CreateDirectory(folder["survey/takes"]);
        Directory.CreateSymbolicLink(folder["survey/again"], "takes");
        Directory.CreateSymbolicLink(folder["elsewhere"], folder["survey"]);
        Assert.Equal(folder["survey/again/a.wav"], Resolve(folder["survey"], "again/a.wav"));
        Assert.Equal(folder["elsewhere/again/a.wav"], Resolve(folder["elsewhere"], "again/a.wav"));
    }

    [Fact]
    public void Links_in_a_circle_are_refused()
    {
        using var folder = new TemporaryFolder();
        File.CreateSymbolicLink(folder["a"], "b");
        File.CreateSymbolicLink(folder["b"], "a");
        Assert.Equal("the path \"a\" leads through links in a circle", Assert.Throws<DataFault>(() => Resolve(folder.Path, "a")).Problem);
    }
}
