// SPDX-License-Identifier: MIT
using Sweepbook.Microphones;
using Sweepbook.Spectra;
using Xunit;
using static Sweepbook.Tests.Microphones.ComparedResponses;

namespace Sweepbook.Tests.Microphones;

/// <summary>Planted deviations are read back, sensitivities and noise cancel, and what cannot be compared says why.</summary>
public sealed class MicrophoneComparisonTests
{
    private const double WithoutNoiseDb = 0.05;   // half a cell at a band's edges, on a slope of 4 dB per octave
    private const double SensitivityDb = -12.3;

    private static double Deviation(double hz) => ShelfDb(hz, 3.9, 9_000) + BottomDb(hz, -2, 30);

    private static double Source(double hz) => 4 * Math.Sin(5 * Math.Log(hz));   // some loudspeaker in some room

    private static MicrophoneComparison Compared(Func<double, double> deviationDb, double fromHz = 0, double toHz = double.PositiveInfinity, double matchFromHz = 300, double matchToHz = 3000) =>
        MicrophoneComparison.Between("pocket", [Of(hz => Source(hz) + SensitivityDb + deviationDb(hz), fromHz, toHz)], "reference", [Of(Source)], matchFromHz, matchToHz);

    [Fact]
    public void A_planted_shelf_at_the_top_and_a_loss_at_the_bottom_are_read_back_in_octaves_and_thirds()
    {
        var compared = Compared(Deviation, 20, 20_000);
        var middle = MeanDb(Deviation, 300, 3000);
        Assert.True(Math.Abs(compared.OffsetDb - SensitivityDb - middle) <= WithoutNoiseDb, $"offset {compared.OffsetDb}");
        foreach (var band in compared.Octaves.Concat(compared.ThirdOctaves).Where(band => band.IsGiven && band.Band.LowerHz >= 20 && band.Band.UpperHz <= 20_000))
        {
            var (low, high) = (band.Band.LowerHz, band.Band.UpperHz);
            var expected = BandLevelDb(hz => Source(hz) + Deviation(hz), low, high) - BandLevelDb(Source, low, high) - middle;
            Assert.True(Math.Abs(band.DeviationDb - expected) <= WithoutNoiseDb, $"{band.Band.Label} Hz: {band.DeviationDb:0.000} instead of {expected:0.000} dB");
        }
        Assert.True(compared.TopOctaves[^1].DeviationDb > 3 && compared.BottomOctave.DeviationDb < -0.5);
    }

    [Fact]
    public void The_bottom_octave_and_the_two_top_octaves_are_those_in_which_both_may_be_believed()
    {
        Assert.Equal([8_000, 16_000], Compared(Deviation).TopOctaves.Select(octave => octave.Band.NominalHz));
        Assert.Equal(31.5, Compared(Deviation).BottomOctave.Band.NominalHz);   // the grid begins at 15 Hz, and the 16 Hz octave at 11.2 Hz
        var narrow = Compared(Deviation, 40, 10_000);
        Assert.Equal([4_000, 8_000], narrow.TopOctaves.Select(octave => octave.Band.NominalHz));   // 5.6 to 10 of 5.6 to 11.2 kHz are 83 %
        Assert.Equal(63, narrow.BottomOctave.Band.NominalHz);                                       // 40 to 44.7 of 22.4 to 44.7 Hz are 16 %
        Assert.InRange(narrow.Band.FromHz, 40, 41);
        Assert.InRange(narrow.Band.ToHz, 9_800, 10_000);
    }

    [Fact]
    public void A_band_that_may_not_be_believed_with_one_of_them_has_no_number_and_names_the_one()
    {
        var octave = Compared(Deviation, 40, 10_000).Octaves.First(band => band.Band.NominalHz == 31.5);
        Assert.False(octave.IsGiven);
        Assert.False(octave.IsSignificant);
        Assert.Contains("pocket: noise 9 dB below the signal", octave.Reason);

        var dips = MicrophoneComparison.Between("pocket", [Of(_ => 0)], "reference", [Of(_ => 0, censored: hz => hz is > 100 and < 400)], 500, 3000);
        Assert.Contains("reference: the level dips into the noise", dips.Octaves.First(band => band.Band.NominalHz == 250).Reason);
        Assert.True(dips.Octaves.First(band => band.Band.NominalHz == 63).IsGiven);
    }

    [Fact]
    public void The_noise_in_a_reading_is_taken_off_before_levels_are_compared()
    {
        const double Tenth = 0.1;   // 10 dB under the level: 0.41 dB too much, were it left in
        var compared = MicrophoneComparison.Between("pocket", [Of(hz => hz > 5_000 ? 0 : 40, noisePower: Tenth)], "reference", [Of(hz => hz > 5_000 ? 0 : 40)]);
        Assert.True(Math.Abs(compared.TopOctaves[^1].DeviationDb) <= 1e-3, $"{compared.TopOctaves[^1].DeviationDb} dB");
    }

    [Fact]
    public void A_change_of_loudness_between_repeats_is_matched_away_and_is_no_scatter()
    {
        var compared = MicrophoneComparison.Between("pocket", [Of(hz => Deviation(hz) + 6)], "reference", [Of(_ => 0), Of(_ => 1.5), Of(_ => -2)]);
        Assert.All(compared.Octaves.Where(octave => octave.IsGiven), octave => Assert.InRange(octave.RepeatabilityDb, 0, 1e-9));
        Assert.True(compared.TopOctaves[^1].IsSignificant);
        Assert.False(compared.Octaves.First(octave => octave.Band.NominalHz == 1000).IsSignificant);
    }

    [Fact]
    public void A_reference_that_was_read_once_leaves_noise_only_and_nothing_is_called_significant()
    {
        var compared = Compared(Deviation);
        Assert.True(compared.IsNoiseOnly);
        Assert.DoesNotContain(compared.ThirdOctaves, band => band.IsSignificant);
    }

    [Fact]
    public void The_largest_deviation_of_a_range_is_found_and_a_range_that_is_not_covered_says_so()
    {
        var compared = Compared(Deviation, 20, 18_000);
        Assert.True(compared.Covers(25, 10_000));
        Assert.False(compared.Covers(12.5, 10_000));
        Assert.Equal(10_000, compared.LargestDeviation(100, 10_000).Band.NominalHz);
        Assert.False(compared.LargestDeviation(20_000, 25_000).IsGiven);
    }

    [Theory]
    [InlineData("itself", "pocket", 0, 1e5, 300, 3000)]
    [InlineData("no frequency at which both", "reference", 1e5, 1e5, 300, 3000)]
    [InlineData("Both may be believed from 20.3 to 160 Hz", "reference", 20, 160, 300, 3000)]
    [InlineData("match_from_hz", "reference", 20, 160, 300, 3000)]
    [InlineData("third of an octave", "reference", 0, 1e5, 300, 310)]
    public void What_cannot_be_compared_is_refused_with_what_and_why(string words, string reference, double fromHz, double toHz, double matchFromHz, double matchToHz) =>
        Assert.Contains(words, Assert.ThrowsAny<ArgumentException>(() =>
            MicrophoneComparison.Between("pocket", [Of(_ => 0, fromHz, toHz)], reference, [Of(_ => 0)], matchFromHz, matchToHz)).Message);

    [Fact]
    public void Readings_on_other_frequencies_and_no_readings_are_refused()
    {
        Response[] other = [Studies.PlainResponses.Of(_ => 1)];
        Assert.Contains("different stimuli", Assert.Throws<ArgumentException>(() => MicrophoneComparison.Between("pocket", other, "reference", [Of(_ => 0)])).Message);
        Assert.Contains("no reading of \"pocket\"", Assert.Throws<ArgumentException>(() => MicrophoneComparison.Between("pocket", [], "reference", [Of(_ => 0)])).Message);
        Assert.Contains("no reading of \"reference\"", Assert.Throws<ArgumentException>(() => MicrophoneComparison.Between("pocket", [Of(_ => 0)], "reference", [])).Message);
    }

    [Fact]
    public void A_subwoofer_is_compared_once_a_middle_band_within_it_is_stated()
    {
        var compared = Compared(hz => BottomDb(hz, -3, 25), 20, 160, 60, 120);
        Assert.InRange(compared.BottomOctave.DeviationDb, -2, -0.5);
    }
}
