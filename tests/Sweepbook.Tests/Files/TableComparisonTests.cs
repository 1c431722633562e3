// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Xunit;

namespace Sweepbook.Tests.Files;

public sealed class TableComparisonTests
{
    private static readonly string[] Keys = ["source", "frequency_hz"];
    private const string Head = "source,frequency_hz,level_db,phase_deg,trusted,reason\n";
    private const string Written = Head + "sub,31.5000,-3.200,180.00,true,\nsub,63.0000,-1.000,12.50,true,\nmain,63.0000,,,false,noise\n";

    [Fact]
    public void Tables_with_the_same_text_are_equal_whatever_the_order_of_their_rows()
    {
        Assert.Equal(TableAgreement.Equal, Compare(Written).Agreement);
        Assert.Equal(TableAgreement.Equal, Compare(Head + "main,63.0000,,,false,noise\nsub,63.0000,-1.000,12.50,true,\nsub,31.5000,-3.200,180.00,true,\n").Agreement);
    }

    [Theory]
    [InlineData("-3.200", "-3.201", "level_db", 0.001)]      // one step of the third decimal
    [InlineData("31.5000", "31.5001", "frequency_hz", 1e-4)]  // a key whose sixth digit another processor rounds otherwise
    [InlineData("180.00", "-179.99", "phase_deg", 0.01)]      // the same angle but for a turn
    public void One_step_of_the_last_printed_digit_agrees_and_is_named(string was, string edited, string column, double difference)
    {
        var comparison = Compare(Written.Replace(was, edited));
        Assert.Equal(TableAgreement.Agrees, comparison.Agreement);
        Assert.Equal(column, comparison.LargestThatAgrees!.Value.Column);
        Assert.Equal(difference, comparison.LargestThatAgrees.Value.Difference, 1e-9);
    }

    [Theory]
    [InlineData("-3.200", "-3.202")]   // two steps
    [InlineData("-3.200", "")]
    [InlineData("-3.200", "loud")]
    [InlineData("-3.200", "inf")]
    [InlineData(",noise", ",Noise")]
    [InlineData("180.00", "-179.50")]
    public void Anything_more_differs(string was, string edited)
    {
        var comparison = Compare(Written.Replace(was, edited));
        Assert.Equal((TableAgreement.Differs, 1), (comparison.Agreement, comparison.DifferentCells));
    }

    [Fact]
    public void The_three_worst_numbers_are_told_first_with_row_and_unit()
    {
        var comparison = Compare(Written.Replace("-3.200", "-3.300").Replace("-1.000", "-9.000").Replace("12.50", "12.60").Replace(",noise", ",hum"));
        Assert.Equal(4, comparison.DifferentCells);
        Assert.Equal(["sub, 63 Hz", "sub, 31.5 Hz", "sub, 63 Hz"], comparison.Worst.Select(cell => cell.Row));
        Assert.Equal(["level_db", "level_db", "phase_deg"], comparison.Worst.Select(cell => cell.Column));
        Assert.Equal(("-9.000", "-1.000", "dB"), (comparison.Worst[0].Was, comparison.Worst[0].Is, comparison.Worst[0].Unit));
    }

    [Fact]
    public void Rows_and_columns_that_only_one_of_the_tables_has_are_named()
    {
        var missing = Compare(Written.Replace("sub,31.5000,-3.200,180.00,true,\n", ""));
        Assert.Equal(["sub, 31.5 Hz"], missing.AddedRows);
        Assert.Equal(TableAgreement.Differs, missing.Agreement);
        Assert.Equal(["sub, 40 Hz"], Compare(Written + "sub,40.0000,-2.000,0.00,true,\n").MissingRows);
        var column = Compare(Written.Replace("reason", "why"));
        Assert.Equal((TableAgreement.Differs, "why", "reason"), (column.Agreement, Assert.Single(column.MissingColumns), Assert.Single(column.AddedColumns)));
    }

    [Fact]
    public void A_value_made_of_rounding_alone_agrees_with_another()
    {
        var now = new CsvTable(CsvColumn.Text("source"), CsvColumn.Milliseconds("delay_ms"));
        now.Add("a", 12.0);
        now.Add("b", 1.5e-10);
        Assert.Equal(TableAgreement.Agrees, TableComparison.Of(Read("source,delay_ms\na,12.0000\nb,-0.000000000212345\n"), now, ["source"]).Agreement);
        Assert.Equal(TableAgreement.Differs, TableComparison.Of(Read("source,delay_ms\na,12.0000\nb,-0.000212345\n"), now, ["source"]).Agreement);
    }

    [Fact]
    public void Rows_with_the_same_keys_are_compared_in_their_order()
    {
        var now = new CsvTable(CsvColumn.Text("seat"), CsvColumn.Hertz("frequency_hz"));
        now.Add("sofa", 40.0);
        now.Add("sofa", 60.0);
        Assert.Equal(TableAgreement.Equal, TableComparison.Of(Read("seat,frequency_hz\nsofa,40.0000\nsofa,60.0000\n"), now, ["seat"]).Agreement);
        Assert.Equal(2, TableComparison.Of(Read("seat,frequency_hz\nsofa,60.0000\nsofa,40.0000\n"), now, ["seat"]).DifferentCells);
    }

    [Theory]
    [InlineData("source,frequency_hz\nsub,1,2\n", "the row has 3 cells, and the head has 2")]
    [InlineData("", "the file is empty")]
    public void What_is_no_table_is_refused_with_its_line(string text, string said) =>
        Assert.Contains(said, Assert.Throws<DataFault>(() => Read(text)).Message);

    private static TableComparison Compare(string written)
    {
        var now = new CsvTable(CsvColumn.Text("source"), CsvColumn.Hertz("frequency_hz"), CsvColumn.Decibels("level_db"), CsvColumn.Degrees("phase_deg"), CsvColumn.Boolean("trusted"), CsvColumn.Text("reason"));
        now.Add("sub", 31.5, -3.2, 180.0, true, "");
        now.Add("sub", 63.0, -1.0, 12.5, true, "");
        now.Add("main", 63.0, CsvCell.Empty, CsvCell.Empty, false, "noise");
        return TableComparison.Of(Read(written), now, Keys);
    }

    private static CsvContents Read(string text)
    {
        var path = Path.Combine(Path.GetTempPath(), $"sweepbook-{Guid.NewGuid():N}.csv");
        try
        {
            File.WriteAllText(path, text);
            return CsvContents.Read(path, "table.csv");
        }
        finally
        {
            File.Delete(path);
        }
    }
}
