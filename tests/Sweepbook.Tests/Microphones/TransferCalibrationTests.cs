// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Microphones;
using Xunit;
using static Sweepbook.Tests.Microphones.ComparedResponses;

namespace Sweepbook.Tests.Microphones;

/// <summary>The difference of two microphones as a calibration file: what it holds, what it says about itself, and that it reads back.</summary>
public sealed class TransferCalibrationTests : IDisposable
{
    private const double SmoothedDb = 0.05;   // a sixth of an octave on a shelf of 4 dB
    private const double PrintedDb = 0.0005;
    private readonly SurveyFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private static double Deviation(double hz) => ShelfDb(hz, 3.9, 9_000) + BottomDb(hz, -2, 30);

    private static double Own(double hz) => 1.5 * Math.Sin(Math.Log(hz));   // the correction that was applied to the tested microphone's readings

    private static readonly ComparisonFacts Facts = new(Own, _ => 0.5, "calibration/ref.txt", new(2024, 3, 1), new(2026, 10, 18));

    private static MicrophoneComparison Compared(ComparisonFacts? facts = null, int references = 1) => MicrophoneComparison.Between(
        "pocket", [Of(hz => 7 + Deviation(hz) + Own(hz), 20, 20_000)], "reference", [.. Enumerable.Repeat(0, references).Select(_ => Of(hz => 0, 20, 20_000))], 300, 3000, "main at sofa", facts ?? Facts);

    [Fact]
    public void It_holds_what_the_microphone_adds_without_the_correction_that_was_applied_to_it()
    {
        var file = Compared().Calibration();
        var middle = MeanDb(Deviation, 300, 3000);
        for (var k = 0; k < file.Count; k++)
            Assert.True(Math.Abs(file[k].LevelDb - (Deviation(file[k].FrequencyHz) - middle)) <= SmoothedDb, $"{file[k].FrequencyHz:0} Hz: {file[k].LevelDb:0.000}");
    }

    [Fact]
    public void It_ends_where_the_trusted_band_ends_and_has_twelve_points_an_octave()
    {
        var compared = Compared();
        var file = compared.Calibration();
        Assert.Equal((compared.Band.FromHz, compared.Band.ToHz), (file[0].FrequencyHz, file[file.Count - 1].FrequencyHz));
        Assert.InRange(file.Count, 12 * Math.Log2(1000) - 2, 12 * Math.Log2(1000) + 2);   // 20 Hz to 20 kHz
    }

    [Fact]
    public void Written_and_read_back_it_is_the_same_curve_and_says_all_about_itself()
    {
        var file = Compared(references: 2).Calibration();
        file.Write(_folder.At("pocket.txt"));
        var read = CalibrationCurve.Read(_folder.At("pocket.txt"));
        Assert.Equal(file.Count, read.Count);
        for (var k = 0; k < file.Count; k++)
            Assert.True(Math.Abs(file[k].LevelDb - read[k].LevelDb) <= PrintedDb && Math.Abs(file[k].FrequencyHz - read[k].FrequencyHz) <= PrintedDb);
        var notes = string.Join('\n', read.Notes);
        foreach (var words in new[] { "Calibration of pocket by substitution", "calibration_sign = \"response\"", "Reference: reference, with its calibration calibration/ref.txt of 2024-03-01", "Date: 2026-10-18",
            "Place: main at sofa", "Band: 20.3 Hz to 19.9 kHz", "from 300 Hz to 3 kHz", "Uncertainty: ± 1.00 dB at most (coverage factor 2)", "Uncertainty by octave: " })
            Assert.Contains(words, notes);
        Assert.Equal(new DateOnly(2026, 10, 18), CalibrationHeader.DateOf(read));
        Assert.False(File.ReadAllText(_folder.At("pocket.txt")).Contains('\r'));
    }

    [Fact]
    public void What_changes_within_a_sixth_of_an_octave_is_placement_and_smoothed_away()
    {
        const double EndsHz = 40;   // towards the ends the mean becomes narrower
        var file = MicrophoneComparison.Between("pocket", [Of(hz => Math.Sin(2 * Math.PI * 16 * Math.Log2(hz / 1000)), 20, 20_000)], "reference", [Of(_ => 0, 20, 20_000)]).Calibration();
        for (var k = 0; k < file.Count; k++)
            if (file[k].FrequencyHz is > EndsHz and < 10_000) Assert.Equal(0, file[k].LevelDb, SmoothedDb);
    }

    [Fact]
    public void A_gap_between_the_middle_band_and_the_files_band_leaves_the_zero_in_the_middle_band()
    {
        const double ThereDb = 1.5, HereDb = 4;   // what the microphone adds above and below the gap
        var file = MicrophoneComparison.Between("pocket", [Of(hz => hz > 900 ? ThereDb : HereDb, 20, 20_000)], "reference", [Of(_ => 0, 20, 20_000, censored: hz => hz is (> 800 and < 1000) or > 3000)], 1000, 3000).Calibration();
        Assert.InRange(file.Band.ToHz, 780, 800);
        for (var k = 0; k < file.Count; k++) Assert.Equal(HereDb - ThereDb, file[k].LevelDb, SmoothedDb);
    }

    [Fact]
    public void An_older_file_is_never_overwritten()
    {
        _folder.Put("pocket.txt", "20 1\n20000 2\n");
        Assert.Contains("exists already", Assert.Throws<DataFault>(() => Compared().Calibration().Write(_folder.At("pocket.txt"))).Message);
        Assert.Equal("20 1\n20000 2\n", File.ReadAllText(_folder.At("pocket.txt")));
    }

    [Fact]
    public void Its_uncertainty_is_the_root_of_the_summed_squares_of_repeatability_and_reference()
    {
        // Two set-ups whose third octave round 1 kHz stands apart scatter by what the deviation's repeatability says; u of the reference is 0.5 dB, so U = √(R² + 1²).
        var compared = MicrophoneComparison.Between("pocket", [Of(_ => 0)], "reference", [Of(hz => 0.2 * Math.Sin(7 * Math.Log(hz))), Of(_ => 0)], 300, 3000, "", Facts);
        foreach (var (octave, deviation) in compared.Calibration().Octaves.Zip(compared.Octaves.Where(octave => octave.IsGiven)))
            Assert.Equal(Math.Sqrt(deviation.RepeatabilityDb * deviation.RepeatabilityDb + 1), octave.RepeatabilityDb, 1e-9);
        Assert.Equal(compared.Calibration().Octaves.Max(octave => octave.RepeatabilityDb), compared.Calibration().UncertaintyDb);
    }

    [Fact]
    public void Without_anything_stated_about_the_reference_the_uncertainty_is_not_known_and_the_header_says_so()
    {
        var file = Compared(Facts with { ReferenceStandardDb = _ => double.NaN, ReferenceFile = null, MeasuredOn = null }, references: 2).Calibration();
        Assert.True(double.IsNaN(file.UncertaintyDb));
        var header = string.Join('\n', file.Header);
        Assert.Contains("Uncertainty: not known", header);
        Assert.Contains("without a calibration: its own deviations are in this file", header);
        Assert.Contains("Date: not stated", header);
        Assert.DoesNotContain("read once", header);
        Assert.Contains("The reference was read once", string.Join('\n', Compared().Calibration().Header));
    }
}
