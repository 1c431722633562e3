// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Microphones;
using Sweepbook.Quantities;
using Xunit;
using static Sweepbook.Tests.Microphones.ComparedResponses;

namespace Sweepbook.Tests.Microphones;

/// <summary>What changed between two calibrations of one microphone, in an octave and in a year.</summary>
public sealed class CalibrationDriftTests : IDisposable
{
    private const double ReadDb = 0.01;   // straight lines between points a twelfth of an octave apart, printed to a thousandth
    private static readonly DateOnly Older = new(2020, 5, 1), Newer = new(2026, 5, 1);
    private readonly SurveyFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private CalibrationCurve Curve(string name, Func<double, double> levelDb, double fromHz = 10, double toHz = 22_400, string notes = "")
    {
        var rows = Enumerable.Range(-100, 200).Select(n => 1000 * Math.Pow(2, n / 12.0)).Where(hz => hz >= fromHz && hz <= toHz)
            .Select(hz => string.Create(CultureInfo.InvariantCulture, $"{hz:0.000} {levelDb(hz):0.000}"));
        _folder.Put(name, $"{notes}{string.Join('\n', rows)}\n");
        return CalibrationCurve.Read(_folder.At(name), name);
    }

    [Fact]
    public void Each_octave_and_year_is_read_back_and_a_change_of_sensitivity_is_no_drift()
    {
        double Aged(double hz) => ShelfDb(hz, -2, 11_000);
        var drift = CalibrationDrift.Between(Curve("a.txt", hz => Math.Sin(hz / 1000)), Curve("b.txt", hz => Math.Sin(hz / 1000) + 5 + Aged(hz)), Older, Newer);
        var middle = MeanDb(Aged, 300, 3000);
        Assert.InRange(drift.OffsetDb, 5 + middle - ReadDb, 5 + middle + ReadDb);
        Assert.InRange(drift.Years, 5.99, 6.01);
        foreach (var octave in drift.Octaves.Where(octave => octave.IsGiven && octave.Band.LowerHz > 10 && octave.Band.UpperHz < 12_000))
        {
            var expected = MeanDb(Aged, octave.Band.LowerHz, octave.Band.UpperHz) - middle;
            Assert.True(Math.Abs(octave.DeviationDb - expected) <= ReadDb, $"{octave.Band.Label} Hz: {octave.DeviationDb:0.000} instead of {expected:0.000}");
            Assert.Equal(octave.DeviationDb / drift.Years, drift.PerYearDb(octave), 1e-12);
        }
        Assert.True(drift.Octaves.First(octave => octave.Band.NominalHz == 16_000).DeviationDb < -1);
    }

    [Fact]
    public void A_file_that_states_the_correction_drifts_the_other_way()
    {
        var (older, newer) = (Curve("a.txt", _ => 0), Curve("b.txt", hz => ShelfDb(hz, 2, 6_000)));
        var response = CalibrationDrift.Between(older, newer).Octaves[^2].DeviationDb;
        Assert.Equal(-response, CalibrationDrift.Between(older, newer, newerSign: CalibrationSign.Correction).Octaves[^2].DeviationDb, 1e-9);
    }

    [Fact]
    public void Octaves_that_the_two_do_not_share_have_no_number_and_without_dates_there_is_no_change_in_a_year()
    {
        var drift = CalibrationDrift.Between(Curve("a.txt", _ => 0, toHz: 9_000), Curve("b.txt", _ => 0));
        Assert.Contains(drift.Octaves, octave => octave is { IsGiven: false, Band.NominalHz: 8_000 } && octave.Reason.Contains("less than two thirds", StringComparison.Ordinal)
            || octave is { IsGiven: true, Band.NominalHz: 8_000 });
        Assert.DoesNotContain(drift.Octaves, octave => octave.Band.NominalHz == 16_000);
        Assert.True(double.IsNaN(drift.Years) && double.IsNaN(drift.PerYearDb(drift.Octaves[3])));
        Assert.Equal("", drift.Reminder(Newer));
    }

    [Fact]
    public void Dates_and_uncertainties_are_read_from_headers_of_its_own_and_a_change_within_them_is_not_called_real()
    {
        var older = Curve("a.txt", _ => 0, notes: "# Date: 2021-10-01\n# Uncertainty: ± 0.60 dB at most (coverage factor 2)\n");
        var newer = Curve("b.txt", hz => ShelfDb(hz, 1.2, 9_000), notes: "# Date: 2025-10-01\n# Uncertainty: ± 0.80 dB at most (coverage factor 2)\n");
        var drift = CalibrationDrift.Between(older, newer);
        Assert.Equal(1, drift.UncertaintyDb, 1e-12);   // √(0.6² + 0.8²)
        Assert.InRange(drift.Years, 3.99, 4.01);
        Assert.False(drift.Octaves.First(octave => octave.Band.NominalHz == 8_000).IsSignificant);
        Assert.True(drift.Octaves.First(octave => octave.Band.NominalHz == 16_000).IsSignificant);
    }

    [Fact]
    public void Within_half_a_year_a_change_is_method_and_not_age()
    {
        var drift = CalibrationDrift.Between(Curve("a.txt", _ => 0), Curve("b.txt", hz => ShelfDb(hz, 1.2, 9_000)), Older, Older.AddMonths(4));
        Assert.InRange(drift.Years, 0.3, 0.4);
        Assert.All(drift.Octaves, octave => Assert.Equal(double.NaN, drift.PerYearDb(octave)));
    }

    [Fact]
    public void A_reminder_comes_from_five_years_on()
    {
        var drift = CalibrationDrift.Between(Curve("a.txt", _ => 0), Curve("b.txt", _ => 0), Older, Newer);
        Assert.Equal("", drift.Reminder(Newer.AddYears(5).AddDays(-5)));
        Assert.Contains("5.0 years old", drift.Reminder(Newer.AddYears(5).AddDays(5)));
    }

    [Fact]
    public void Exchanged_dates_no_shared_frequencies_and_a_middle_band_that_is_not_shared_are_refused()
    {
        var (low, high, all) = (Curve("low.txt", _ => 0, toHz: 200), Curve("high.txt", _ => 0, fromHz: 1000), Curve("all.txt", _ => 0));
        Assert.Contains("exchange the two", Assert.Throws<ArgumentException>(() => CalibrationDrift.Between(all, all, Newer, Older)).Message);
        Assert.Contains("share no frequencies", Assert.Throws<ArgumentException>(() => CalibrationDrift.Between(low, high)).Message);
        Assert.Contains("another middle band", Assert.Throws<ArgumentException>(() => CalibrationDrift.Between(low, all)).Message);
        Assert.Throws<ArgumentOutOfRangeException>(() => CalibrationDrift.Between(all, all, matchFromHz: 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => CalibrationDrift.Between(all, all, matchToHz: 100));
    }
}
