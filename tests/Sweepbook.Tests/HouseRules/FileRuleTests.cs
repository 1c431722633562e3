// SPDX-License-Identifier: MIT
using System.Text;
using Xunit;

namespace Sweepbook.Tests.HouseRules;

public sealed class FileRuleTests
{
    private static readonly UTF8Encoding Exact = new(false, true);

    private static IEnumerable<string> Code => Repository.TextFiles.Where(file =>
        file.EndsWith(".cs", StringComparison.Ordinal) && (file.StartsWith("src/", StringComparison.Ordinal) || file.StartsWith("tests/", StringComparison.Ordinal)));

    [Fact]
    public void The_repository_is_found_with_its_files() => Assert.Contains("src/Sweepbook/Quantities/Decibels.cs", Code);

    [Fact]
    public void Every_source_file_starts_with_the_licence_line() => Faults.None(Check(Code, FileRules.WithoutLicence));

    [Fact]
    public void A_missing_licence_line_is_noticed() => Fails(FileRules.WithoutLicence, "src/A.cs", "namespace A;\n// SPDX-License-Identifier: MIT\n");

    [Fact]
    public void No_source_file_is_longer_than_three_hundred_lines() => Faults.None(Check(Code, FileRules.TooLong));

    [Fact]
    public void The_line_after_the_last_allowed_one_is_noticed()
    {
        Passes(FileRules.TooLong, "src/A.cs", string.Concat(Enumerable.Repeat("x\n", 300)));
        Fails(FileRules.TooLong, "src/A.cs", string.Concat(Enumerable.Repeat("x\n", 301)));
    }

    [Fact]
    public void Every_folder_is_one_namespace() =>
        Faults.None(Check(Code.Where(file => !file.Contains("/HouseRules/", StringComparison.Ordinal)), FileRules.NamespaceOfAnotherFolder));

    [Fact]
    public void A_namespace_that_belongs_to_another_folder_is_noticed()
    {
        Passes(FileRules.NamespaceOfAnotherFolder, "src/Sweepbook/Files/A.cs", "namespace Sweepbook.Files;\n");
        Fails(FileRules.NamespaceOfAnotherFolder, "src/Sweepbook/Files/A.cs", "namespace Sweepbook.Trust;\n");
    }

    [Fact]
    public void No_file_names_a_machine() => Faults.None(Check(Repository.TextFiles, FileRules.MachineMarks));

    [Theory]
    [InlineData("read /", "home/somebody/x.wav")]
    [InlineData("cd /", "tmp/x")]
    [InlineData("open C:\\", "Users\\somebody")]
    [InlineData("https://api.nug", "et.org/v3/index.json")]
    [InlineData("https://registry.", "example.com/x")]
    [InlineData("http://build", "server:8081/x")]
    [InlineData("http://10.0", ".0.7/feed")]
    public void A_machine_mark_is_noticed(string one, string two) => Fails(FileRules.MachineMarks, "README.md", $"first\n{one}{two}\n");

    [Theory]
    [InlineData("see https://doi.org/10.1121/1.1909343 http://localhost:8888/tree and http://192.0.2.1/picture.png")]
    [InlineData("~/measurements/tmp/one.wav, $folder/home/x and /usr/bin/chromium")]
    public void An_ordinary_address_is_left_alone(string text) => Passes(FileRules.MachineMarks, "README.md", text);

    [Fact]
    public void Nothing_is_left_undone() => Faults.None(Check(
        Repository.TextFiles.Where(file => file.StartsWith("src/", StringComparison.Ordinal) || file.StartsWith("tests/", StringComparison.Ordinal) || file.StartsWith("notebooks/", StringComparison.Ordinal)),
        FileRules.UnfinishedMarks));

    [Theory]
    [InlineData("// TO", "DO: later")]
    [InlineData("throw new NotImpl", "ementedException();")]
    [InlineData("[Fact(Skip", " = \"slow\")]")]
    public void An_unfinished_mark_is_noticed(string one, string two) => Fails(FileRules.UnfinishedMarks, "src/A.cs", one + two);

    [Fact]
    public void Text_is_utf8_without_mark_and_with_line_feeds() =>
        Faults.None(Check(Repository.TextFiles.Where(file => !file.StartsWith("data-demo/", StringComparison.Ordinal) && !file.EndsWith(".cmd", StringComparison.Ordinal)), FileRules.ForeignLineEnds));

    [Fact]
    public void A_byte_order_mark_and_carriage_returns_are_noticed()
    {
        Fails(FileRules.ForeignLineEnds, "a.md", "\uFEFFtext\n");
        Fails(FileRules.ForeignLineEnds, "a.md", "text\r\n");
    }

    [Fact]
    public void Every_fact_that_is_cited_has_a_row_with_its_source()
    {
        var rows = FileRules.FactRows(File.ReadAllText(Repository.Path("tests", "reference", "FACTS.md")));
        Assert.True(rows.Count > 50);
        Faults.None(Check(Repository.TextFiles.Where(file => file.EndsWith(".cs", StringComparison.Ordinal) || file.EndsWith(".ipynb", StringComparison.Ordinal)),
            (path, text) => FileRules.UnknownFacts(path, text, rows)));
    }

    [Fact]
    public void A_fact_without_a_row_is_noticed()
    {
        var rows = FileRules.FactRows("| no. | fact |\n|---|---|\n| 5.2 | a |\n| 5.3 | b |\n");
        Assert.Empty(FileRules.UnknownFacts("src/A.cs", "see fact sheet 5.2 and 5.3; 7.8 dB", rows));
        Assert.Single(FileRules.UnknownFacts("src/A.cs", "(fact " + "sheet 5.2 to 5.4)", rows));
        Assert.Single(FileRules.UnknownFacts("src/A.cs", "fact " + "sheet 9.9.", rows));
    }

    private static IEnumerable<string> Check(IEnumerable<string> files, Func<string, string, IEnumerable<string>> rule) =>
        files.SelectMany(file => rule(file, Exact.GetString(File.ReadAllBytes(Repository.Path(file))))).ToList();

    private static void Fails(Func<string, string, IEnumerable<string>> rule, string path, string text) => Assert.Single(rule(path, text));

    private static void Passes(Func<string, string, IEnumerable<string>> rule, string path, string text) => Assert.Empty(rule(path, text));
}
