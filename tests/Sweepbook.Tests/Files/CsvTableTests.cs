// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Sweepbook.Files;
using Xunit;

namespace Sweepbook.Tests.Files;

public class CsvTableTests
{
    private static string Written(CsvTable table)
    {
        var stream = new MemoryStream();
        table.Write(stream);
        return Encoding.UTF8.GetString(stream.ToArray());
    }

    private static string One(CsvColumn column, CsvCell cell)
    {
        var table = new CsvTable(column, CsvColumn.Text("end"));
        table.Add(cell, "");
        return Written(table).Split('\n', 2)[1][..^2];
    }

    [Fact]
    public void A_call_reads_like_a_sentence()
    {
        var table = new CsvTable(CsvColumn.Text("source"), CsvColumn.Hertz("frequency_hz"), CsvColumn.Decibels("level_db"), CsvColumn.Boolean("trusted_level"), CsvColumn.Integer("seats"));
        table.Add("sub-left", 31.5, -3.2, true, 5);
        table.Add("sub-left+main", 20, double.NaN, false, CsvCell.Empty);
        Assert.Equal("source,frequency_hz,level_db,trusted_level,seats\nsub-left,31.5000,-3.200,true,5\nsub-left+main,20.0000,,false,\n", Written(table));
        Assert.Equal(2, table.Count);
    }

    public static TheoryData<double, string> SixDigits => new()
    {
        { 0, "0.00000" }, { -0.0, "0.00000" }, { 31.5, "31.5000" }, { 20.1449, "20.1449" }, { 999999.4, "999999" }, { 999999.5, "1000000" }, { 1234567, "1234570" },
        { 0.00012345678, "0.000123457" }, { -1.5, "-1.50000" }, { 9.999995, "10.0000" }, { 0.9999996, "1.00000" }, { 1e-7, "0.000000100000" }, { 12345678901, "12345700000" },
        { double.PositiveInfinity, "inf" }, { double.NegativeInfinity, "-inf" }, { double.NaN, "" },
    };

    [Theory, MemberData(nameof(SixDigits))]
    public void Frequencies_and_times_have_six_digits_and_no_exponent(double x, string expected)
    {
        Assert.Equal(expected, One(CsvColumn.Hertz("frequency_hz"), x));
        Assert.Equal(expected, One(CsvColumn.Seconds("decay_s"), x));
        Assert.Equal(expected, One(CsvColumn.Milliseconds("arrival_ms"), x));
        Assert.Equal(expected, One(CsvColumn.Number("q"), x));
    }

    // The law behind the table: at most half a unit of the sixth digit away, at every size. The sum of two roundings in double is far below the slack.
    [Fact]
    public void Six_digits_are_half_a_unit_of_the_last_one_away_at_most()
    {
        for (var k = -3000; k <= 3000; k++)
        {
            var x = Math.Pow(10, k / 300.0) * 1.0000001;
            var written = One(CsvColumn.Hertz("frequency_hz"), x);
            Assert.Equal(6, written.Replace(".", "").TrimStart('0')[..6].Length);
            Assert.InRange(Math.Abs(double.Parse(written, CultureInfo.InvariantCulture) / x - 1), 0, 0.5e-5 * 1.0001);
        }
    }

    [Theory]
    [InlineData(0.0004, "0.000"), InlineData(-0.0, "0.000"), InlineData(-0.0004, "0.000"), InlineData(-0.0006, "-0.001"), InlineData(-3.2, "-3.200"), InlineData(94.12349, "94.123")]
    [InlineData(1e7, "10000000.000"), InlineData(double.NegativeInfinity, "-inf"), InlineData(double.NaN, "")]
    public void Decibels_have_three_decimals_and_zero_has_no_sign(double x, string expected) => Assert.Equal(expected, One(CsvColumn.Decibels("level_db"), x));

    [Fact]
    public void Every_other_unit_has_its_digits()
    {
        Assert.Equal("179.99", One(CsvColumn.Degrees("phase_deg"), 179.994));
        Assert.Equal("3.418", One(CsvColumn.Metres("distance_m"), 3.4183));
        Assert.Equal("12.346", One(CsvColumn.Percent("decay_sd_percent"), 12.3456));
        Assert.Equal("0.500", One(CsvColumn.Permille("nonlinearity_permille"), 0.5));
        Assert.Equal("-20.000", One(CsvColumn.Ppm("clock_ppm"), -20));
        Assert.Equal("9223372036854775807", One(CsvColumn.Integer("frames"), long.MaxValue));
        Assert.Equal("-6.000", One(CsvColumn.Decibels("level_db"), -6));   // a whole number is a number too
    }

    [Fact]
    public void Missing_values_are_empty()
    {
        Assert.Equal("", One(CsvColumn.Text("seat"), (string?)null));
        Assert.Equal("", One(CsvColumn.Decibels("level_db"), (double?)null));
        Assert.Equal("", One(CsvColumn.Boolean("valid"), (bool?)null));
        Assert.Equal("", One(CsvColumn.Integer("seats"), CsvCell.Empty));
    }

    [Theory]
    [InlineData("a,b", "\"a,b\""), InlineData("say \"no\"", "\"say \"\"no\"\"\""), InlineData("two\nlines", "\"two\nlines\""), InlineData("old\rmac", "\"old\rmac\"")]
    [InlineData(" edge", "\" edge\""), InlineData("Küche – α", "Küche – α"), InlineData("semi;colon", "semi;colon")]
    public void Text_is_quoted_as_the_standard_says(string text, string expected) => Assert.Equal(expected, One(CsvColumn.Text("note"), text));

    [Theory, InlineData("=1+1"), InlineData("+3 dB"), InlineData("-cmd"), InlineData("@home")]
    public void Text_is_never_altered_even_where_a_spreadsheet_might_see_a_formula(string text) => Assert.Equal(text, One(CsvColumn.Text("note"), text));

    [Fact]
    public void There_is_no_byte_order_mark_and_no_carriage_return()
    {
        var stream = new MemoryStream();
        new CsvTable(CsvColumn.Text("a"), CsvColumn.Text("b")).Write(stream);
        Assert.Equal("a,b\n"u8.ToArray(), stream.ToArray());
        Assert.True(stream.CanWrite);
    }

    [Fact]
    public void A_decimal_comma_culture_changes_no_byte()
    {
        var before = CultureInfo.CurrentCulture;
        try
        {
            CultureInfo.CurrentCulture = (CultureInfo)CultureInfo.InvariantCulture.Clone();
            CultureInfo.CurrentCulture.NumberFormat.NumberDecimalSeparator = ",";
            CultureInfo.CurrentCulture.NumberFormat.NegativeSign = "−";
            CultureInfo.CurrentCulture.TextInfo.ListSeparator = ";";
            A_call_reads_like_a_sentence();
            Assert.Equal("-0.000123457", One(CsvColumn.Seconds("decay_s"), -0.000123456789));
            Assert.Equal("-5", One(CsvColumn.Integer("seats"), -5));
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    [Fact]
    public void A_file_is_replaced_whole()
    {
        using var folder = new TemporaryFolder();
        new CsvTable(CsvColumn.Text("new")).Write(folder.Put("a.csv", "a much longer old content\n"));
        Assert.Equal("new\n", File.ReadAllText(folder["a.csv"]));
        Assert.Equal(["a.csv"], folder.Names);
    }

    public static TheoryData<Action, string> Wrong => new()
    {
        { () => new CsvTable(), "Got 0 columns; at least 1 is needed." },
        { () => new CsvTable(CsvColumn.Text("a"), CsvColumn.Integer("a")), "The column \"a\" is named twice; names must differ." },
        { () => new CsvTable(CsvColumn.Text("a")).Add("x", "y"), "Got 2 values for 1 columns; the numbers must be equal." },
        { () => new CsvTable(CsvColumn.Text("a")).Add(1.5), "The column \"a\" takes text; got number." },
        { () => new CsvTable(CsvColumn.Decibels("a_db")).Add("x"), "The column \"a_db\" takes a number; got text." },
        { () => new CsvTable(CsvColumn.Integer("a")).Add(1.5), "The column \"a\" takes a whole number; got number." },
        { () => new CsvTable(CsvColumn.Boolean("a")).Add(1), "The column \"a\" takes true or false; got integer." },
        { () => CsvColumn.Decibels("level"), "The column name \"level\" must end in its unit: _db or _dbfs." },
        { () => CsvColumn.Text("Level (dB)"), "The column name \"Level (dB)\" must be lower-case letters and digits joined by single underscores." },
    };

    [Theory, MemberData(nameof(Wrong), DisableDiscoveryEnumeration = true)]
    public void Wrong_arguments_are_named(Action act, string message) =>
        Assert.StartsWith(message, Assert.ThrowsAny<ArgumentException>(act).Message, StringComparison.Ordinal);
}
