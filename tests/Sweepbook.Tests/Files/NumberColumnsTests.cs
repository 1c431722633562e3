// SPDX-License-Identifier: MIT
using System.Text;
using Sweepbook.Files;
using Xunit;

namespace Sweepbook.Tests.Files;

public class NumberColumnsTests
{
    private static NumberColumns Read(byte[] bytes) => NumberColumns.Read(new MemoryStream(bytes), "omni-1.txt");

    private static NumberColumns Read(string text) => Read(Encoding.UTF8.GetBytes(text));

    private static double[][] Rows(NumberColumns columns) => [.. columns.Rows.Select(row => Enumerable.Range(0, row.Count).Select(k => row[k]).ToArray())];

    // Two rows, written in every way that is understood.
    [Theory]
    [InlineData("20.5 1.2\n31.5 -0.25")]
    [InlineData("20.5\t1.2\n31.5\t-0.25")]
    [InlineData("  20.5   1.2  \r\n\r\n31.5 \t -0.25\r\n")]
    [InlineData("20.5,1.2\r31.5,-0.25")]
    [InlineData("20.5, 1.2\n31.5 ,-0.25")]
    [InlineData("20.5 , 1.2,\n31.5,-0.25,")]
    [InlineData("20.5;1.2\n31.5 ; -0.25;")]
    [InlineData("20,5; 1,2\n31,5; -0,25")]
    [InlineData("20,5\t1,2\n31,5\t-0,25")]
    [InlineData("20,5 1,2\n31,5 -0,25")]
    [InlineData("2.05e1 1.2E0\n+31.5 \u2212.25")]
    [InlineData("20.5\u00A01.2 # a remark, with 1,2 commas\n31.5 -0.25")]
    public void Every_common_way_of_writing_columns_is_understood(string text) => Assert.Equal([[20.5, 1.2], [31.5, -0.25]], Rows(Read(text)));

    [Fact]
    public void A_single_comma_between_whole_numbers_separates() => Assert.Equal([[20, 5], [40, 6]], Rows(Read("20,5\n40,6")));

    [Fact]
    public void Whole_numbers_among_decimal_commas_are_fine() => Assert.Equal([[20, 1], [31.5, -0.25]], Rows(Read("20; 1\n31,5; -0,25")));

    [Fact]
    public void Three_columns_are_three_columns() => Assert.Equal([[20.5, 1.2, -3], [31.5, 1, 4]], Rows(Read("20.5,1.2,-3\n31.5,1,4")));

    [Fact]
    public void Padded_commas_beside_points_are_separators() => Assert.Equal([[20, 1.2, 3.5], [31.5, 1, 4]], Rows(Read("20.0,1.2, 3.5\n31.5,1.0, 4.0")));

    [Fact]
    public void Lines_that_do_not_start_with_a_number_are_notes_with_their_line()
    {
        var columns = Read("Freq [Hz];Level [dB]\n\n* serial 0815\n2024-03-02 by the maker\n# 20 1\n20 1\nend of table\n40 2\n");
        Assert.Equal([new(1, "Freq [Hz];Level [dB]"), new(3, "* serial 0815"), new(4, "2024-03-02 by the maker"), new(5, "# 20 1"), new(7, "end of table")], columns.Notes);
        Assert.Equal([6, 8], columns.Rows.Select(row => row.Line));
        Assert.Equal("omni-1.txt", columns.File);
    }

    [Fact]
    public void A_file_of_notes_alone_has_no_rows() => Assert.Empty(Read("nothing but\nwords").Rows);

    // A name with an accent shows whether the letters were understood, the numbers whether the lines were.
    public static TheoryData<string, byte[]> Encodings
    {
        get
        {
            const string Text = "* Kapsel für Räume\r\n20.5 1.2\r\n31.5 -0.25\r\n";
            return new()
            {
                { "UTF-8", Encoding.UTF8.GetBytes(Text) },
                { "UTF-8 with mark", [0xEF, 0xBB, 0xBF, .. Encoding.UTF8.GetBytes(Text)] },
                { "UTF-16 LE with mark", [0xFF, 0xFE, .. Encoding.Unicode.GetBytes(Text)] },
                { "UTF-16 BE with mark", [0xFE, 0xFF, .. Encoding.BigEndianUnicode.GetBytes(Text)] },
                { "UTF-16 LE", Encoding.Unicode.GetBytes(Text) },
                { "UTF-16 BE", Encoding.BigEndianUnicode.GetBytes(Text) },
                { "ISO 8859-1", Encoding.Latin1.GetBytes(Text) },
            };
        }
    }

    [Theory, MemberData(nameof(Encodings))]
    public void Every_encoding_is_understood(string name, byte[] bytes)
    {
        var columns = Read(bytes);
        Assert.True(columns.Notes is [(1, "* Kapsel für Räume")], name);
        Assert.Equal([[20.5, 1.2], [31.5, -0.25]], Rows(columns));
        Assert.Equal([2, 3], columns.Rows.Select(row => row.Line));
    }

    private const string Correct = "Correct it, or begin the line with # if it is a remark.";
    private const string Comma = "Write numbers with a decimal point, or separate the columns with semicolons.";
    private const string File = "Check that this is the file you mean";

    [Theory]
    [InlineData("20 1\n40 NaN", "omni-1.txt:2: \"NaN\" is not a finite number. " + Correct)]
    [InlineData("20 1\nnan 2", "omni-1.txt:2: \"nan\" is not a finite number. Remove the row, or write the number that belongs there.")]
    [InlineData("-1.#IND 2", "omni-1.txt:1: \"-1.#IND\" is not a finite number. Remove the row, or write the number that belongs there.")]
    [InlineData("20 -inf", "omni-1.txt:1: \"-inf\" is not a finite number. " + Correct)]
    [InlineData("20 1e999", "omni-1.txt:1: \"1e999\" is not a finite number. " + Correct)]
    [InlineData("* head\n20 Hz 1.2 dB", "omni-1.txt:2: \"Hz\" is not a number. " + Correct)]
    [InlineData("20 1\n4O 2", "omni-1.txt:2: \"4O\" is not a number. " + Correct)]
    [InlineData("20 1\n40 2|3", "omni-1.txt:2: \"2?3\" is not a number. " + Correct)]
    [InlineData("20 1\n40 0x10", "omni-1.txt:2: \"0x10\" is not a number. " + Correct)]
    [InlineData("\"20,5\",\"1,2\"", "omni-1.txt:1: the numbers stand in quotation marks. Remove the quotation marks.")]
    [InlineData("20 1\n40 2 3", "omni-1.txt:2: this row has 3 numbers, and the row in line 1 has 2. Give every row the same columns.")]
    [InlineData("20.5,1.2\n1,000.5,1.3", "omni-1.txt:2: a comma could group thousands or separate columns. " + Comma)]
    [InlineData("20.5, 1.2\n1,250.5, 1.3", "omni-1.txt:2: a comma could group thousands or separate columns. " + Comma)]
    [InlineData("20.5,1.2\n1,250.5,1.3", "omni-1.txt:2: this row has 3 numbers, and the row in line 1 has 2. Give every row the same columns.")]
    [InlineData("20.5 1.2\n1,000 1.3", "omni-1.txt:2: commas stand beside other separators, so a comma could group thousands or separate columns. " + Comma)]
    [InlineData("1.000,5; 0,2", "omni-1.txt:1: commas stand beside other separators, so a comma could group thousands or separate columns. " + Comma)]
    [InlineData("20.5 1.2\n31,5 1,3", "omni-1.txt:2: commas stand beside other separators, so a comma could group thousands or separate columns. " + Comma)]
    [InlineData("20,5,1,2", "omni-1.txt:1: a comma could mark decimals or separate columns. " + Comma)]
    [InlineData("20,5, 1,2", "omni-1.txt:1: a comma could mark decimals or separate columns. " + Comma)]
    [InlineData("20,5; 1,2\n31,5,1; 3", "omni-1.txt:2: a comma could mark decimals or separate columns. " + Comma)]
    [InlineData("20,5; 1,2\n31,5", "omni-1.txt:2: this row has 1 number, and the row in line 1 has 2. Give every row the same columns.")]
    [InlineData("20;;1", "omni-1.txt:1: a column is empty. Write the missing number, or remove the row.")]
    [InlineData("20.5,,1.2", "omni-1.txt:1: a column is empty. Write the missing number, or remove the row.")]
    [InlineData("RIFF\0\0\0\0WAVE", "omni-1.txt: this is not a text file. " + File + "; export it as plain text.")]
    public void What_could_be_read_wrongly_is_refused_with_its_line(string text, string message) =>
        Assert.Equal(message, Assert.Throws<DataFault>(() => Read(text)).Message);

    [Fact]
    public void Huge_lines_and_huge_files_are_refused()
    {
        Assert.Equal("omni-1.txt:2: the line has 10001 characters, and at most 10000 are read. Write one row of numbers per line.",
            Assert.Throws<DataFault>(() => Read("20 1\n" + new string('1', 10001))).Message);
        Assert.Equal("omni-1.txt: it has 4194305 bytes, and a table of numbers has at most 4194304. Check that this is the file you mean.",
            Assert.Throws<DataFault>(() => Read(new byte[4194305])).Message);
    }

    [Fact]
    public void A_long_wrong_word_is_shown_shortened() =>
        Assert.Equal($"\"1{new string('x', 39)}…\" is not a number", Assert.Throws<DataFault>(() => Read("20 1\n1" + new string('x', 5000))).Problem);

    [Fact]
    public void Missing_and_empty_files_are_told_apart()
    {
        using var folder = new TemporaryFolder();
        Assert.Equal("there is no such file", Assert.Throws<DataFault>(() => NumberColumns.Read(folder["a.txt"])).Problem);
        Assert.Equal("the file is empty (0 bytes)", Assert.Throws<DataFault>(() => NumberColumns.Read(folder.Put("a.txt", ""))).Problem);
        Assert.Equal([[20, 1]], Rows(NumberColumns.Read(folder.Put("b.txt", "20 1"))));
    }
}
