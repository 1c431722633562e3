// SPDX-License-Identifier: MIT
using Sweepbook.Report;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>The rules of notebooks see what they are made for: a made-up notebook that keeps all of them, and one step away from it for each way to break one.</summary>
public sealed class NotebookRuleCheckerTests : IDisposable
{
    private const string Name = "05-quiet-room";
    private const string Filling = "The room is quiet, and the words of this text are many, so that nobody can say that there were too few of them for the code beside them.";

    private readonly TestFolder _folder = new();

    private static TestCell First => TestCell.Text("""
        # How quiet is this room?

        **Question.** How much noise is left? **Answer in one line.** Little. **What you need.** Ears. **Sources.** None.
        """);

    private static TestCell SetUp => TestCell.Code("#load \"sweepbook.csx\"\nusing Sweepbook.Notebook;");

    private static TestCell Read => TestCell.Code("var study = Study.Of(Survey.Read(\"../data-demo/orchard-row\"));\nFigures.TrustedBands(study)");

    private static TestCell Shown => TestCell.Text(Filling + " Its noise lies 40 dB below the tone.");

    private static TestCell Check => TestCell.Code("if (Math.Abs(study.Noise - 40) > 1) throw new Exception(\"It lies elsewhere.\");", "check");

    private static TestCell Cautions => TestCell.Text("""
        ## Before you measure

        > **Hearing.** Keep below 85 dB(A). **Drivers and amplifiers.** Start quietly. Secure what is hung or stacked. Local codes and licensed practice come first.
        """);

    private static TestCell[] Good => [First, SetUp, Read, Shown, Check, Cautions];

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_notebook_that_keeps_the_rules_hears_no_complaint() => Assert.Empty(Complaints(Good));

    public static TheoryData<string> Ways => [.. Broken.Select(way => way.Words)];

    [Theory, MemberData(nameof(Ways))]
    public void A_broken_rule_is_named(string words)
    {
        var way = Broken.Single(way => way.Words == words);
        Assert.Contains(Complaints(way.Cells), complaint => complaint.StartsWith(way.Rule + ": ") && complaint.Contains(way.Says));
    }

    [Fact]
    public void Every_rule_has_been_seen_to_complain() => Assert.Equal(NotebookRules.All.Keys.Order(), Broken.Select(way => way.Rule).Distinct().Order());

    /// <summary>In words what is wrong, the rule that has to say so, a word of its complaint, and the notebook.</summary>
    private static (string Words, string Rule, string Says, TestCell[] Cells)[] Broken =>
    [
        ("two questions in the title", "one question", "not one question", With(0, Changed(First, "How quiet is this room?", "How quiet? And how loud?"))),
        ("no question in the title", "one question", "not one question", With(0, Changed(First, "room?", "room"))),
        ("no title", "one question", "no title", With(0, Changed(First, "# How", "How"))),
        ("a name that does not tell the question", "one question", "named after quiet", With(0, Changed(First, "quiet", "silent"))),
        ("no sources", "one question", "**Sources.**", With(0, Changed(First, "**Sources.**", ""))),
        ("no set-up", "set-up", "second cell", [First, Read, SetUp, Shown, Check, Cautions]),
        ("a long set-up", "set-up", "5 lines", With(1, Changed(SetUp, "using", "using A;\nusing B;\nusing C;\nusing"))),
        ("a second set-up", "set-up", "Another set-up", Put(3, TestCell.Code("using System.IO;"))),
        ("a cell of thirteen lines", "short cells", "13 lines", Put(3, TestCell.Code(string.Join("\n", Enumerable.Range(0, 13).Select(n => $"Show({n});"))))),
        ("an empty cell", "short cells", "0 lines", Put(3, TestCell.Code(" "))),
        ("cells of five lines throughout", "short cells", "median", [First, SetUp, Five("a"), Five("b"), Five("c"), Shown, Check, Cautions]),
        ("few words", "words", "words for", Put(3, Five("a"), Five("b"), Five("c"))),
        ("no cautions", "cautions", "hung or stacked", With(5, Changed(Cautions, "Secure what is hung or stacked.", ""))),
        ("a variable declared twice", "declared once", "study is declared", Put(3, TestCell.Code("var study = 3;"))),
        ("declared twice as one of two", "declared once", "study is declared", Put(3, TestCell.Code("var (first, study) = (1, 2);"))),
        ("declared twice with its type", "declared once", "study is declared", Put(3, TestCell.Code("IReadOnlyList<double> study = [1, 2];"))),
        ("a function declared twice", "declared once", "Level is declared", Put(3, TestCell.Code("double Level(double x) => x;"), TestCell.Code("double Level(int k)\n{\n    return k;\n}"))),
        ("a loop", "nothing missing in the library", "A loop (for (", Put(3, TestCell.Code("for (var k = 0; k < 3; k++) Show(k);"))),
        ("a loop over things", "nothing missing in the library", "A loop (foreach (", Put(3, TestCell.Code("foreach (var take in study.Takes) Show(take);"))),
        ("a loop without end", "nothing missing in the library", "A loop (while (", Put(3, TestCell.Code("while (true) Show(1);"))),
        ("a transform", "nothing missing in the library", "A transform", Put(3, TestCell.Code("FourierTransform.Forward(samples)"))),
        ("styling", "nothing missing in the library", "How a figure looks", Put(3, TestCell.Code("chart.WithXAxisStyle(\"Hz\")"))),
        ("a figure that nobody reads", "figures are read", "TrustedBands", [First, SetUp, Read, Check, Shown, Cautions]),
        ("a figure before a heading", "figures are read", "TrustedBands", With(3, Changed(Shown, Filling, "## Noise\n\n" + Filling))),
        ("a figure with a word or two", "figures are read", "TrustedBands", With(3, TestCell.Text("See above. It lies 40 dB below."), TestCell.Text(Filling + Filling))),
        ("no check", "check cells", "no check cell", [First, SetUp, Read, TestCell.Text(Filling), Cautions]),
        ("a check that cannot fail", "check cells", "cannot fail", Put(5, TestCell.Code("study.Noise < 40", "check"))),
        ("a check without its tag", "check cells", "not tagged", With(4, Check with { Tags = [] })),
        ("a number without its check", "claims", "41 dB", With(3, Changed(Shown, "40 dB", "41 dB"))),
        ("a check before the number", "claims", "40 dB", [First, SetUp, Read, TestCell.Text(Filling), Check, Shown, Cautions]),
        ("a heading between number and check", "claims", "40 dB", With(3, Changed(Shown, "the tone.", "the tone.\n\n## Another matter"))),
        ("one number of a row", "claims", "50 dB", With(3, Changed(Shown, "40 dB", "40 or 50 dB"))),
        ("a range", "claims", "39 dB", With(3, Changed(Shown, "40 dB", "39 to 40 dB"))),
        ("the number in a cell that is no check", "claims", "12 ms", Put(3, TestCell.Text("It takes 12 ms until then."), TestCell.Code("study.After(12)"))),
        ("the number of an exercise outside of one", "claims", "80 Hz", Put(5, TestCell.Text("From 80 Hz on."), TestCell.Code("Exercise.WindowFor(80).Check(length)"))),
    ];

    [Theory]
    [InlineData("It takes 7 ms.", "0.007")]
    [InlineData("It takes 7 ms.", "7")]
    [InlineData("It lies at 16 kHz.", "16_000")]
    [InlineData("It has 215 cm².", "0.0215")]
    [InlineData("It is 62 ppm fast.", "62e-6")]
    [InlineData("It holds within 5 per cent of it.", "0.05")]
    [InlineData("It begins at −5 dB.", "-5")]
    [InlineData("Nobody: \"4,000 Hz.\"", "4000")]
    public void A_number_may_stand_in_the_unit_of_the_code_or_in_the_message(string sentence, string literal)
    {
        Assert.Empty(NotebookClaims.Unchecked(Cells([SetUp, TestCell.Text(sentence), TestCell.Code($"if (x > {literal}) throw new Exception(\"No.\");", "check")])));
        Assert.Empty(NotebookClaims.Unchecked(Cells([SetUp, TestCell.Text(sentence), TestCell.Code($"if (x) throw new Exception(\"Not {literal}.\");", "check")])));
        Assert.Single(NotebookClaims.Unchecked(Cells([SetUp, TestCell.Text(sentence), TestCell.Code("if (x > 123) throw new Exception(\"No.\");", "check")])));
    }

    [Fact]
    public void Both_ends_of_a_range_with_a_hyphen_are_claims_and_a_comment_checks_none()
    {
        Assert.Equal([20.0, 200], NotebookClaims.Of("It reaches 20-200 Hz.").Select(claim => claim.Number));
        Assert.Single(NotebookClaims.Unchecked(Cells([SetUp, TestCell.Text("It has 12 dB."), TestCell.Code("if (x > 5)   // 12 dB\n    throw new Exception(\"No.\");", "check")])));
    }

    [Theory]
    [InlineData("> **Hearing.** Keep below 85 dB(A).")]
    [InlineData("The code `hz > 40 Hz` is code.")]
    [InlineData("How far does 1 m go?")]
    [InlineData("The range is 45 dB (ISO 3382-1).")]
    [InlineData("A rule of thumb says 115 m.")]
    [InlineData("Give hertz, within 1 %.")]
    [InlineData("Levels are in dB re 20 µPa.")]
    [InlineData("See [the page](3-m.ipynb) and 4.12 there, in 5 takes.")]
    [InlineData("Three metres are no number in digits.")]
    public void What_is_left_out_is_no_claim(string text) => Assert.Empty(NotebookClaims.Of(text));

    [Theory]
    [InlineData("It falls by 20 dB. Is that much?", 20)]
    [InlineData("It is within 1 % of it everywhere.", 1)]
    [InlineData("**Length.** It lasts 3 s.", 3)]
    [InlineData("Turned down it lies at -12 dB.", 12)]
    [InlineData("There is a 12-dB dip.", 12)]
    [InlineData("The dip is **12** dB deep.", 12)]
    [InlineData("It arrives after 9 milliseconds.", 9)]
    [InlineData("The pressure is 2 Pa.", 2)]
    [InlineData("It is 3 times as loud.", 3)]
    [InlineData("The room has 62 m³.", 62)]
    [InlineData("It is late by 40 samples.", 40)]
    [InlineData("It lies at 3 kilohertz.", 3)]
    [InlineData("It may be heard for 8 hours.", 8)]
    public void What_stands_beside_an_exception_is_a_claim_all_the_same(string text, double number) => Assert.Equal(number, Assert.Single(NotebookClaims.Of(text)).Number);

    [Fact]
    public void In_an_exercise_the_numbers_it_is_called_with_count_and_the_text_of_a_solution_stands_beside_its_answer()
    {
        TestCell[] cells = [SetUp, TestCell.Text("## Exercise 1: a window\n\nFrom 80 Hz on."), TestCell.Text("Two periods are 25 ms.", "solution"), TestCell.Code("Exercise.WindowFor(80).Require(length)")];
        Assert.Empty(NotebookClaims.Unchecked(Cells(cells)));
        cells[2] = cells[2] with { Tags = [] };
        Assert.Contains("25 ms", Assert.Single(NotebookClaims.Unchecked(Cells(cells))));
    }

    private static TestCell Five(string name) => TestCell.Code($"var {name} = 1;\nShow({name});\nShow({name});\nShow({name});\nShow({name});");

    private static TestCell Changed(TestCell cell, string from, string to) => cell with { Source = cell.Source.Contains(from) ? cell.Source.Replace(from, to) : throw new ArgumentException(from) };

    private static TestCell[] With(int at, params TestCell[] cells) => [.. Good[..at], .. cells, .. Good[(at + 1)..]];

    private static TestCell[] Put(int at, params TestCell[] cells) => [.. Good[..at], .. cells, .. Good[at..]];

    private string[] Complaints(TestCell[] cells) => [.. NotebookRules.Complaints(Name, Cells(cells))];

    private IReadOnlyList<NotebookCell> Cells(TestCell[] cells) => NotebookFile.Read(_folder.Notebook(cells)).Cells;
}
