// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Xunit;

namespace Sweepbook.Tests.Files;

public sealed class TomlDocumentTests
{
    private static TomlTable Parse(string text) => TomlDocument.Parse(text, "x.toml");

    private static string FaultOf(Action read) => Assert.Throws<DataFault>(read).Message;

    [Fact]
    public void Every_kind_of_value_is_read_with_its_line()
    {
        var root = Parse("title = \"a # not a comment\"\nwhole = 3\nlevel = -1.5\r\nuse = true\nday = 2026-10-18\nat = 2026-10-18T20:15:00\npoint = [1, 2.5,\n  3]\nid.part = 'x'\n[room]\nwidth = 4\n[[take]]\nfile = \"a\"\n[[take]]\nfile = \"b\"\n");
        Assert.Equal("a # not a comment", root.Text("title"));
        Assert.Equal(3, root.Integer("whole", 0, 5));
        Assert.Equal(3, root.Number("whole", new(0, 5, "Hz")));
        Assert.Equal(-1.5, root.Number("level", new(-2, 5, "dB")));
        Assert.True(root.Flag("use"));
        Assert.Equal(new DateOnly(2026, 10, 18), root.Date("day"));
        Assert.Equal(new DateTime(2026, 10, 18, 20, 15, 0), root.Moment("at"));
        Assert.Equal([1, 2.5, 3], root.Numbers("point", new(0, 5, "m"))!);
        Assert.Equal("x", root.Table("id")!.Text("part"));
        Assert.Equal(10, root.Table("room")!.Line);
        Assert.Equal(["a", "b"], root.Tables("take").Select(take => take.Text("file")));
        Assert.Equal([12, 14], root.Tables("take").Select(take => take.Line));
        Assert.Equal(9, root.LineOf("id"));
    }

    [Fact]
    public void A_list_of_inline_tables_is_read_like_a_list_of_tables() =>
        Assert.Equal([0, 90], Parse("c = [{ angle = 0, file = \"a\" }, { angle = 90, file = \"b\" }]").Tables("c").Select(item => item.Number("angle", new(0, 90, "°"))!.Value));

    [Theory]
    [InlineData("a = 1\nb 3\n", "x.toml:2: ")]
    [InlineData("a = \"x\nb = 1\n", "x.toml:1: ")]
    [InlineData("a = 1\n\nb = [1, 2\n", "x.toml:")]
    [InlineData("a = 1\na = 2\n", "x.toml:2: `a` is given twice, first on line 1. Keep one of the two.")]
    [InlineData("[a]\nb = 1\n[c]\n[a]\n", "x.toml:4: `a` is given twice, first on line 1.")]
    [InlineData("a = { b = 1 }\n[a.c]\n", "x.toml:2: `a` is given twice")]
    [InlineData("a = 1\n[[a]]\n", "x.toml:2: `a` is given twice")]
    [InlineData("a = 2026-13-45\n", "x.toml:1: ")]
    [InlineData("a = 99999999999999999999\n", "x.toml:1: ")]
    public void Broken_toml_is_a_fault_with_its_line(string text, string begin) =>
        Assert.StartsWith(begin, FaultOf(() => Parse(text)), StringComparison.Ordinal);

    [Fact]
    public void A_text_where_a_number_is_wanted_is_named() =>
        Assert.Equal("x.toml:2: `gain_db` must be a number, is the text \"loud\". Correct the value.", FaultOf(() => Parse("\ngain_db = \"loud\"").Number("gain_db", new(0, 1, "dB"))));

    [Fact]
    public void A_number_outside_its_range_is_named_with_range_and_unit() =>
        Assert.Equal("x.toml:1: `end_hz` must lie in (0, 24000] Hz, is 96000. Correct the value.", FaultOf(() => Parse("end_hz = 96e3").Number("end_hz", TomlRange.Above0UpTo(24_000, "Hz"))));

    [Theory]
    [InlineData("nan")]
    [InlineData("inf")]
    [InlineData("-inf")]
    [InlineData("1e999")]
    public void Numbers_that_are_not_finite_are_refused(string number) =>
        Assert.Contains("must lie in [-10, 10] dB", FaultOf(() => Parse($"a = {number}").Number("a", new(-10, 10, "dB"))), StringComparison.Ordinal);

    [Theory]
    [InlineData("a = 1.5", "must be a whole number")]
    [InlineData("a = 0", "must be a whole number from 1 to 8 channels, is 0")]
    [InlineData("a = 5000000000", "must be a whole number from 1 to 8 channels, is 5000000000")]
    public void Whole_numbers_are_checked(string text, string problem) =>
        Assert.Contains(problem, FaultOf(() => Parse(text).Integer("a", 1, 8, "channels")), StringComparison.Ordinal);

    [Theory]
    [InlineData("sorces = [1]", "x.toml:1: the file has no key `sorces`. Did you mean `sources`?")]
    [InlineData("\nmicrophone_chanel = 1", "x.toml:2: the file has no key `microphone_chanel`. Did you mean `microphone_channel`?")]
    [InlineData("Seat = 1", "x.toml:1: the file has no key `Seat`. Did you mean `seat`?")]
    [InlineData("banana = 1", "x.toml:1: the file has no key `banana`. Known are: seat, sources, microphone_channel.")]
    public void An_unknown_key_is_named_with_the_nearest_known_one(string text, string message) =>
        Assert.Equal(message, FaultOf(() => Parse(text).RefuseUnknownKeys("seat", "sources", "microphone_channel")));

    [Fact]
    public void A_word_that_is_no_choice_is_named_with_the_nearest() =>
        Assert.Equal("x.toml:1: `zero` must be one of loopback, unknown; is \"lopback\". Did you mean `loopback`?",
            FaultOf(() => Parse("zero = \"lopback\"").Choice<int>("zero", ("loopback", 1), ("unknown", 2))));

    [Fact]
    public void A_table_behind_supplies_what_is_left_out_with_its_own_line()
    {
        var root = Parse("[defaults]\na = 1\nb = 2\n[[take]]\nb = 3");
        var take = root.Tables("take")[0].Over(root.Table("defaults")!);
        Assert.Equal((1, 3), (take.Integer("a", 0, 9), take.Integer("b", 0, 9)));
        Assert.Equal((2, 5), (take.LineOf("a"), take.LineOf("b")));
    }

    [Theory]
    [InlineData("[", 100_000)]
    [InlineData("{a=", 100_000)]
    public void Deep_nesting_is_refused_before_the_stack_is_used_up(string bracket, int depth) =>
        Assert.Contains("nested more than 32 deep", FaultOf(() => Parse("a = " + string.Concat(Enumerable.Repeat(bracket, depth)))), StringComparison.Ordinal);

    [Theory]
    [InlineData(TomlDocument.DeepestNesting - 2, true)]
    [InlineData(TomlDocument.DeepestNesting + 2, false)]
    public void Nesting_is_read_up_to_the_limit_and_not_beyond(int depth, bool isRead)
    {
        var text = $"a = {new string('[', depth)}{new string(']', depth)}";
        if (isRead) Assert.True(Parse(text).Has("a"));
        else Assert.Contains("nested more than 32 deep", FaultOf(() => Parse(text)), StringComparison.Ordinal);
    }

    [Fact]
    public void A_key_of_very_many_parts_is_refused() =>
        Assert.Contains("the key has 100001 parts", FaultOf(() => Parse("a" + string.Concat(Enumerable.Repeat(".a", 100_000)) + " = 1")), StringComparison.Ordinal);

    [Fact]
    public void Files_are_refused_when_missing_or_not_utf8_or_too_large_and_a_byte_order_mark_is_skipped()
    {
        var folder = Directory.CreateTempSubdirectory("sweepbook-toml-");
        try
        {
            string Put(string name, byte[] bytes)
            {
                var path = Path.Combine(folder.FullName, name);
                File.WriteAllBytes(path, bytes);
                return path;
            }
            Assert.Equal(1, TomlDocument.Read(Put("bom", [0xEF, 0xBB, 0xBF, .. "a = 1"u8]), "x").Integer("a", 0, 1));
            Assert.Contains("there is no such file", FaultOf(() => TomlDocument.Read(Path.Combine(folder.FullName, "none"), "x")), StringComparison.Ordinal);
            Assert.StartsWith("x:2: a letter is not written in UTF-8", FaultOf(() => TomlDocument.Read(Put("latin", [.. "a = 1\nb = \""u8, 0xE9, .. "\""u8]), "x")), StringComparison.Ordinal);
            Assert.Contains("UTF-16", FaultOf(() => TomlDocument.Read(Put("utf16", [0xFF, 0xFE, 0x61, 0]), "x")), StringComparison.Ordinal);
            Assert.Contains("at most 4194304", FaultOf(() => TomlDocument.Read(Put("large", new byte[TomlDocument.LargestBytes + 1]), "x")), StringComparison.Ordinal);
            Assert.Contains("folder", FaultOf(() => TomlDocument.Read(folder.FullName, "x")), StringComparison.Ordinal);
        }
        finally
        {
            folder.Delete(true);
        }
    }

    [Fact]
    public void Any_text_reads_back_as_it_was_written()
    {
        const string Text = "a \"quoted\" \\ back\nnext\tline </script><img onerror=x> é 𝄞 \u0001\u007F";
        Assert.Equal(Text, Parse($"a = {TomlText.Quoted(Text)}").Text("a"));
    }

    [Theory]
    [InlineData("abcd", "abcd", 0)]
    [InlineData("abcd", "acbd", 1)]
    [InlineData("abcd", "abd", 1)]
    [InlineData("", "abc", 3)]
    [InlineData("kitten", "sitting", 3)]
    public void Edit_distance_counts_changes_and_swaps(string a, string b, int distance) => Assert.Equal(distance, NearestName.Distance(a, b));
}
