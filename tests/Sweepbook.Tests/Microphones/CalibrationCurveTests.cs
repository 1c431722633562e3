// SPDX-License-Identifier: MIT
using System.Text;
using Sweepbook.Files;
using Sweepbook.Microphones;
using Sweepbook.Quantities;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Microphones;

public sealed class CalibrationCurveTests
{
    private const double Rounding = 1e-12;   // a handful of operations on numbers near one

    private static CalibrationCurve Read(string text, Encoding? encoding = null)
    {
        using var folder = new SurveyFolder();
        File.WriteAllText(folder.At("mic.txt"), text, encoding ?? new UTF8Encoding(false));
        return CalibrationCurve.Read(folder.At("mic.txt"), "microphones/mic.txt");
    }

    private static string FaultOf(string text) => Assert.Throws<DataFault>(() => Read(text)).Message;

    [Fact]
    public void A_response_file_that_says_one_and_a_half_at_875_hertz_lowers_the_reading_there_by_one_and_a_half()
    {
        var curve = Read("20 0\n875 1.5\n20000 0\n");
        Assert.Equal(-1.5, curve.CorrectionDbAt(875, CalibrationSign.Response));
        Assert.Equal(1.5, curve.CorrectionDbAt(875, CalibrationSign.Correction));
    }

    [Fact]
    public void Between_points_decibels_run_straight_over_log_frequency_and_outside_they_are_held()
    {
        var curve = Read("10 -4\n100 0\n10000 2\n");
        Assert.Equal(-2, curve.LevelDbAt(Math.Sqrt(10 * 100)), Rounding);
        Assert.Equal(0.5, curve.LevelDbAt(Math.Sqrt(100 * 1_000)), Rounding);
        Assert.Equal([-4, -4, 0, 2, 2], [curve.LevelDbAt(0), curve.LevelDbAt(5), curve.LevelDbAt(100), curve.LevelDbAt(10_000), curve.LevelDbAt(90_000)]);
        Assert.Equal((10, 10_000, 3), (curve.FromHz, curve.ToHz, curve.Count));
        Assert.Equal([false, true, true, true, false], [curve.Contains(9.99), curve.Contains(10), curve.Contains(500), curve.Contains(10_000), curve.Contains(10_001)]);
        Assert.Throws<ArgumentOutOfRangeException>(() => curve.LevelDbAt(double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => curve.LevelDbAt(-1));
    }

    [Theory]
    [InlineData("20 0.5\n1000 -0.5\n")]
    [InlineData("20\t0.5\r\n1000\t-0.5\r\n")]
    [InlineData("20,0.5\n1000,-0.5\n")]
    [InlineData("20; 0.5\n1000; -0.5")]
    [InlineData("20;0,5\n1000;-0,5\n")]
    public void The_usual_separators_and_decimal_commas_are_understood(string text)
    {
        foreach (var encoding in new[] { new UTF8Encoding(false), new UTF8Encoding(true), Encoding.Unicode, Encoding.BigEndianUnicode, new UnicodeEncoding(false, false) })
        {
            var curve = Read(text, encoding);
            Assert.Equal([new(20, 0.5, double.NaN), new(1000, -0.5, double.NaN)], [curve[0], curve[1]]);
        }
    }

    [Fact]
    public void Headers_are_kept_as_notes()
    {
        var curve = Read("Serial 1234\n* angle 0\n20 0\n1000 1\n");
        Assert.Equal(["Serial 1234", "* angle 0"], curve.Notes);
        Assert.Empty(curve.Findings);
    }

    [Fact]
    public void A_row_at_zero_hertz_is_skipped() => Assert.Equal(20, Read("0 -30\n20 0\n1000 1\n").FromHz);

    [Fact]
    public void Rows_at_one_frequency_are_merged_within_a_tenth_of_a_decibel()
    {
        var curve = Read("20 0\n100 0.2\n100 0.3\n1000 1\n");
        Assert.Equal((3, 0.25), (curve.Count, Math.Round(curve.LevelDbAt(100), 12)));
        Assert.Equal("microphones/mic.txt:3: 100 Hz is given twice, with 0.2 dB (line 2) and 0.31 dB. Keep the right one.", FaultOf("20 0\n100 0.2\n100 0.31\n1000 1\n"));
    }

    [Fact]
    public void A_phase_column_is_read_and_runs_the_short_way_round()
    {
        var curve = Read("10 0 170\n100 0 -170\n1000 0 -160\n");
        Assert.True(curve.HasPhase);
        Assert.Equal([170, 180, 190, 200], [curve.PhaseDegreesAt(10), Math.Round(curve.PhaseDegreesAt(Math.Sqrt(1_000)), 9), curve.PhaseDegreesAt(100), curve.PhaseDegreesAt(5_000)]);
        Assert.False(Read("10 0\n100 0\n").HasPhase);
    }

    [Fact]
    public void A_curve_far_from_zero_is_asked_about()
    {
        var finding = Assert.Single(Read("20 -38.4\n1000 -38\n20000 -37\n").Findings);
        Assert.Equal(("calibration-median", Severity.Caution, -38, "dB"), (finding.Id, finding.Severity, finding.Value, finding.Unit));
        Assert.Contains("Is that an absolute sensitivity?", finding.Sentence, StringComparison.Ordinal);
        Assert.Empty(Read("20 -9\n1000 -10\n20000 -12\n").Findings);
    }

    [Theory]
    [InlineData("20 0\n1000 1\n500 1\n", "microphones/mic.txt:3: the frequency falls from 1000 Hz (line 2) to 500 Hz. Sort the rows by rising frequency.")]
    [InlineData("20 0\n", "microphones/mic.txt: the calibration has 1 point; at least two are needed.")]
    [InlineData("nothing\n", "microphones/mic.txt: the calibration has 0 points; at least two are needed.")]
    [InlineData("0 0\n20 0\n", "microphones/mic.txt: the calibration has 1 point; at least two are needed.")]
    [InlineData("20 0\n30 NaN\n40 0\n", "microphones/mic.txt:2: ")]
    [InlineData("20 0\nnan 0\n40 0\n", "microphones/mic.txt:2: ")]
    [InlineData("20 0\n30 inf\n40 0\n", "microphones/mic.txt:2: ")]
    [InlineData("-20 0\n30 0\n", "microphones/mic.txt:1: the frequency must lie in [0, 1000000] Hz, is -20.")]
    [InlineData("20 0\n30 500\n", "microphones/mic.txt:2: the level must lie in [-200, 200] dB, is 500.")]
    [InlineData("20\n30\n", "microphones/mic.txt:1: the row has 1 number.")]
    [InlineData("20 0 0 1\n30 0 0 1\n", "microphones/mic.txt:1: the row has 4 numbers.")]
    [InlineData("", "microphones/mic.txt: the file is empty")]
    public void A_broken_file_is_a_fault_that_names_its_line(string text, string begin) => Assert.StartsWith(begin, FaultOf(text), StringComparison.Ordinal);
}
