// SPDX-License-Identifier: MIT
using Sweepbook.Microphones;
using Sweepbook.Quantities;
using Sweepbook.Trust;
using Xunit;
using static Sweepbook.Tests.Microphones.RangeScene;

namespace Sweepbook.Tests.Microphones;

public sealed class MicrophoneRangeTests
{
    private const double GridStep = 0.0073;   // 2^(1/96) − 1: an end is known to one step of the grid

    [Fact]
    public void A_calibration_ends_it_and_beyond_it_nothing_is_known()
    {
        var range = new MicrophoneRange(Evidence(Calibrated));
        Assert.Equal((5, 20_000), (range.FromHz, range.ToHz));
        Assert.Equal((RangeLimit.Unknown, RangeLimit.Unknown), (range.LowLimit, range.HighLimit));
        Assert.Equal("pocket can be believed within ± 2 dB from 5 Hz to 20 kHz: below, its calibration ends at 5 Hz, and no more is known about it; above, its calibration ends at 20 kHz, and no more is known about it.", range.Sentence);
    }

    [Fact]
    public void A_data_sheet_ends_it_and_that_is_the_microphones_limit()
    {
        var range = new MicrophoneRange(Evidence(DataSheet));
        Assert.Equal((20, 16_000, RangeLimit.Microphone, RangeLimit.Microphone), (range.FromHz, range.ToHz, range.LowLimit, range.HighLimit));
        Assert.Equal("pocket can be believed within ± 2 dB from 20 Hz to 16 kHz: below, its data sheet ends at 20 Hz; above, its data sheet ends at 16 kHz.", range.Sentence);
    }

    [Fact]
    public void A_data_sheet_carries_on_where_the_calibration_ends()
    {
        var range = new MicrophoneRange(Evidence(DataSheet with { CalibrationFromHz = 50, CalibrationToHz = 18_000, CalibrationStandardDb = 0.5 }));
        Assert.Equal((20, 18_000), (range.FromHz, range.ToHz));
    }

    [Theory]   // limits of 2 dB hold 95.45 % within 1.909 dB; what repeatability may add is the rest of 2 dB
    [InlineData(2, 2, true)]
    [InlineData(2.1, 2, false)]
    [InlineData(2.1, 2.1, true)]
    [InlineData(1, 1, true)]
    [InlineData(1, 0.9, false)]
    public void A_tolerance_serves_within_itself(double toleranceDb, double withinDb, bool serves)
    {
        var range = new MicrophoneRange(Evidence(DataSheet with { ToleranceDb = toleranceDb }, repeatabilityDb: _ => 0.02), withinDb);
        Assert.Equal(serves, !range.Band.IsEmpty);
        if (!serves) Assert.EndsWith(FormattableString.Invariant($"nowhere, because its data sheet promises no better than ± {toleranceDb:0.#} dB."), range.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void A_calibration_too_coarse_for_the_job_is_the_microphones_limit()
    {
        var range = new MicrophoneRange(Evidence(Calibrated), withinDb: 0.9);
        Assert.Equal("pocket can be believed within ± 0.9 dB nowhere, because its calibration leaves ± 1.0 dB open.", range.Sentence);
        Assert.False(range.Within(1.2).Band.IsEmpty);
    }

    [Fact]
    public void Noise_and_the_ends_of_the_sweep_are_the_measurements_limits()
    {
        var noise = new Reason(Doubt.Noise, "noise may come within 15 dB of the signal");
        var sweep = new Reason(Doubt.UpperEnd, "the sweep ends at 200 Hz");
        var range = new MicrophoneRange(Evidence(Calibrated, hertz => hertz < 12 ? noise : hertz > 200 ? sweep : Reason.None));
        Assert.Equal((RangeLimit.Measurement, RangeLimit.Measurement), (range.LowLimit, range.HighLimit));
        Assert.Equal((12, 200), (range.FromHz, range.ToHz), Near());
        Assert.Equal("no take shows more (noise may come within 15 dB of the signal)", Between(range.Sentence, "below, ", ";"));
        Assert.Equal("no take shows more (the sweep ends at 200 Hz)", Between(range.Sentence, "above, ", "."));
    }

    [Fact]
    public void Scatter_ends_it_where_the_root_of_squares_exceeds_what_the_job_allows()
    {
        // ± 1 dB of calibration and ± r of repeatability are √(1 + r²): 2 dB at r = √3; r grows as f / 100 Hz
        var range = new MicrophoneRange(Evidence(Calibrated, repeatabilityDb: hertz => hertz / 100));
        Assert.Equal(100 * Math.Sqrt(3), range.ToHz, 100 * Math.Sqrt(3) * GridStep);
        Assert.Equal((RangeLimit.Measurement, "readings are repeatable to ± 1.7 dB only"), (range.HighLimit, range.HighReason));
        var k = Enumerable.Range(0, Grid.Count).First(n => Grid[n] == 1000);
        Assert.Equal(Math.Sqrt(101), range.OffDb()[k], 1e-9);   // ± 10 dB and ± 1 dB
        Assert.Equal((1, 10, 0), (range.MicrophoneDb()[k], range.RepeatabilityDb()[k], range.KnownErrorDb()[k]));
    }

    [Fact]
    public void A_significant_deviation_ends_it_with_the_reference_named()
    {
        var range = new MicrophoneRange(Evidence(DataSheet).Compared(1, (8000, -3.8, 0.2, true), (10_000, -3.9, 0.2, true)));
        Assert.Equal(new FrequencyBand(9, 3).LowerHz, range.ToHz, 8000 * GridStep);
        Assert.Equal((RangeLimit.Microphone, "it reads 3.8 dB less than reference in the third octave at 8 kHz"), (range.HighLimit, range.HighReason));
        Assert.Equal("it reads 2.5 dB more than reference in the third octave at 63 Hz",
            new MicrophoneRange(Evidence(DataSheet).Compared(1, (63, 2.5, 0.2, true))).Mask.ReasonAt(NearestTo(63)).Sentence);
    }

    [Theory]   // known error 1.2 dB and the rest: reference ± 0.5 dB, comparison ± 0.4 dB, readings ± 0.1 dB, together 0.648 dB
    [InlineData(1.2, 1.84, false)]
    [InlineData(1.2, 1.85, true)]
    [InlineData(-1.2, 1.85, true)]
    public void A_known_error_counts_in_full_and_the_uncertainty_of_the_reference_with_it(double deviationDb, double withinDb, bool serves) =>
        Assert.Equal(serves, new MicrophoneRange(Evidence(DataSheet).Compared(0.5, (1000, deviationDb, 0.4, true)), withinDb).At(1000).Serves);

    [Fact]
    public void A_comparison_that_finds_nothing_stands_in_for_a_missing_data_sheet()
    {
        var alone = new MicrophoneRange(Evidence(new()));
        Assert.Equal("Whether pocket can be believed within ± 2 dB is not known, because it has neither a calibration nor a data sheet.", alone.Sentence);
        var compared = new MicrophoneRange(Evidence(new()).Compared(1, [.. FrequencyBand.ThirdOctaves(100, 1000).Select(band => (band.NominalHz, 0.3, 0.4, false))]));
        Assert.Equal((FrequencyBand.ThirdOctaveAt(100).LowerHz, FrequencyBand.ThirdOctaveAt(1000).UpperHz), (compared.FromHz, compared.ToHz), Near());
        Assert.Equal((RangeLimit.Unknown, RangeLimit.Unknown), (compared.LowLimit, compared.HighLimit));
    }

    [Fact]
    public void A_comparison_too_coarse_to_tell_is_the_measurements_limit_and_changes_nothing_that_is_better_known()
    {
        (double, double, double, bool)[] coarse = [(1000, 0.5, 3, false)];
        var verdict = new MicrophoneRange(Evidence(new()).Compared(1, coarse)).At(1000);
        Assert.Equal((false, false), (verdict.Serves, verdict.IsShown));
        Assert.Contains("the comparison with reference leaves ± 3.2 dB open", verdict.Sentence, StringComparison.Ordinal);   // √(3² + 1²)
        Assert.True(new MicrophoneRange(Evidence(DataSheet).Compared(1, coarse)).At(1000).Serves);
    }

    [Fact]
    public void A_reference_that_is_not_known_itself_refutes_nothing()
    {
        var evidence = Evidence(DataSheet).Compared(1, (8000, -3.8, 0.2, true));
        Assert.True(new MicrophoneRange(evidence with { ReferenceStandardDb = [.. Grid.ToArray().Select(_ => double.NaN)] }).At(8000).Serves);
    }

    [Fact]
    public void An_old_calibration_is_said_in_the_same_sentence()
    {
        var range = new MicrophoneRange(Evidence(Calibrated with { CalibrationYears = 6.2 }));
        Assert.EndsWith("; its calibration was 6.2 years old, and calibrations are renewed about every 5 years.", range.Sentence, StringComparison.Ordinal);
        Assert.DoesNotContain("years", new MicrophoneRange(Evidence(Calibrated with { CalibrationYears = 4.9 })).Sentence, StringComparison.Ordinal);
        Assert.DoesNotContain("years", range.SentenceWithoutAge, StringComparison.Ordinal);
    }

    [Fact]
    public void A_data_sheet_without_a_tolerance_says_nothing()
    {
        var range = new MicrophoneRange(Evidence(new() { LowestHz = 20, HighestHz = 20_000 }));
        Assert.Equal("Whether pocket can be believed within ± 2 dB is not known, because its data sheet states no tolerance.", range.Sentence);
    }

    [Fact]
    public void A_take_that_shows_nothing_is_not_the_microphones_fault()
    {
        var range = new MicrophoneRange(Evidence(Calibrated, _ => new(Doubt.Noise, "noise may come within 15 dB of the signal")));
        Assert.Equal("No take shows where pocket can be believed within ± 2 dB: noise may come within 15 dB of the signal.", range.Sentence);
        Assert.True(double.IsNaN(range.FromHz) && double.IsNaN(range.ToHz));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-1)]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    public void A_measure_that_is_none_is_refused(double withinDb) =>
        Assert.Equal("withinDb", Assert.Throws<ArgumentOutOfRangeException>(() => new MicrophoneRange(Evidence(Calibrated)).Within(withinDb)).ParamName);

    private static int NearestTo(double hertz) => Enumerable.Range(0, Grid.Count).MinBy(k => Math.Abs(Math.Log(Grid[k] / hertz)));

    private static string Between(string text, string from, string to)
    {
        var first = text.IndexOf(from, StringComparison.Ordinal) + from.Length;
        return text[first..text.IndexOf(to, first, StringComparison.Ordinal)];
    }

    private static Func<(double, double), (double, double), bool> Near() => (a, b) => Math.Abs(a.Item1 / b.Item1 - 1) < GridStep && Math.Abs(a.Item2 / b.Item2 - 1) < GridStep;
}
