// SPDX-License-Identifier: MIT
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Trust;

public sealed class TrustMaskTests
{
    private static readonly Reason Noisy = new(Doubt.Noise, "noise 9 dB below the signal (15 dB wanted)");
    private static readonly Reason Short = new(Doubt.Window, "window of 100 ms");
    private static readonly Reason Beyond = new(Doubt.Microphone, "beyond the calibration");

    /// <summary>48 points per octave from 100 Hz: bin k lies at 100 · 2^(k/48), so eight bins are a sixth of an octave.</summary>
    private const int BinsPerOctave = 48, SixthOctave = 8;

    private static double FrequencyHz(int k) => 100 * Math.Pow(2, (double)k / BinsPerOctave);

    private static TrustMask Mask(int count, params (int From, int To, Reason Reason)[] doubts)
    {
        var reasons = new Reason[count];
        foreach (var (from, to, reason) in doubts)
            for (var k = from; k <= to; k++) reasons[k] = reason;
        return new([.. Enumerable.Range(0, count).Select(FrequencyHz)], reasons);
    }

    [Theory]
    [InlineData(50.01, 50.02, "50 Hz")]
    [InlineData(1001, 1003, "1 kHz")]
    [InlineData(49.2, 50.7, "49.2 to 50.7 Hz")]
    public void A_band_narrower_than_three_digits_show_is_named_once(double fromHz, double toHz, string words) =>
        Assert.Equal(words, new TrustedBand(fromHz, toHz, default, default).Words);

    [Fact]
    public void Remarks_stay_with_what_is_believed_and_give_way_to_doubts()
    {
        var (one, other) = (Reason.Remark("not calibrated"), Reason.Remark("outdoors"));
        var mask = new TrustMask([1, 2, 3, 4], [one, one, one, Reason.None]).And(new([1, 2, 3, 4], [Reason.None, other, new(Doubt.Noise, "noisy"), one]));
        Assert.Equal([true, true, false, true], Enumerable.Range(0, 4).Select(k => mask[k]));
        Assert.Equal(["not calibrated", "not calibrated; outdoors", "noisy", "not calibrated"], Enumerable.Range(0, 4).Select(k => mask.ReasonAt(k).Sentence));
        Assert.Equal((1.0, 4.0), (mask.LongestBand().FromHz, mask.LongestBand().ToHz));
    }

    [Fact]
    public void A_bin_is_believed_where_there_is_no_reason_against_it()
    {
        var mask = Mask(10, (3, 4, Noisy));
        Assert.Equal(10, mask.Count);
        Assert.Equal([true, true, true, false, false, true, true, true, true, true], Enumerable.Range(0, 10).Select(k => mask[k]));
        Assert.Equal((Noisy, Reason.None), (mask.ReasonAt(3), mask.ReasonAt(5)));
    }

    [Fact]
    public void The_band_names_the_reason_at_each_end()
    {
        var band = Mask(200, (0, 19, Short), (150, 199, Noisy)).LongestBand();
        Assert.Equal(new(FrequencyHz(20), FrequencyHz(149), Short, Noisy), band);
        Assert.False(band.IsEmpty);
        Assert.True(band.Contains(FrequencyHz(20)) && band.Contains(FrequencyHz(149)));
        Assert.False(band.Contains(FrequencyHz(19)) || band.Contains(FrequencyHz(150)));
    }

    [Fact]
    public void A_band_that_reaches_the_end_of_the_grid_says_so_without_a_doubt()
    {
        var band = Mask(50).LongestBand();
        Assert.Equal((FrequencyHz(0), FrequencyHz(49)), (band.FromHz, band.ToHz));
        Assert.Equal((Doubt.None, Doubt.None), (band.LowReason.Doubt, band.HighReason.Doubt));
        Assert.Contains("lowest", band.LowReason.Sentence);
        Assert.Contains("highest", band.HighReason.Sentence);
    }

    [Fact]
    public void The_longest_run_is_longest_in_octaves_not_in_bins()
    {
        double[] frequenciesHz = [10, 20, 40, 80, 81, 82, 83, 84, 85, 86];   // three octaves in four bins, then many bins in a sliver
        var reasons = new Reason[10];
        reasons[3] = Noisy;
        // The gap at 80 Hz is a single bin, narrower than a sixth of an octave, so it is bridged; a wider one is not.
        Assert.Equal((10.0, 86.0), Ends(new TrustMask(frequenciesHz, reasons)));
        reasons[2] = Noisy;
        Assert.Equal((10.0, 20.0), Ends(new TrustMask(frequenciesHz, reasons)));

        static (double, double) Ends(TrustMask mask) => (mask.LongestBand().FromHz, mask.LongestBand().ToHz);
    }

    [Fact]
    public void A_gap_of_a_sixth_of_an_octave_is_bridged_and_listed()
    {
        var mask = Mask(200, (60, 60 + SixthOctave, Noisy), (150, 199, Beyond));   // first to last doubtful bin: 8/48 octave
        Assert.Equal(new(FrequencyHz(0), FrequencyHz(149), mask.LongestBand().LowReason, Beyond), mask.LongestBand());
        Assert.Equal([new TrustedBand(FrequencyHz(60), FrequencyHz(60 + SixthOctave), Noisy, Noisy)], mask.Gaps());
        Assert.False(mask[62]);   // bridged, yet still doubted bin by bin
    }

    [Fact]
    public void A_gap_of_just_a_sixth_is_bridged_however_its_frequencies_are_rounded()
    {
        for (var first = 1; first < 400; first++)
            Assert.Equal(FrequencyHz(0), Mask(450, (first, first + SixthOctave, Noisy)).LongestBand().FromHz);
    }

    [Fact]
    public void A_gap_wider_than_a_sixth_of_an_octave_ends_the_band()
    {
        var mask = Mask(200, (60, 61 + SixthOctave, Noisy));
        Assert.Equal(new(FrequencyHz(62 + SixthOctave), FrequencyHz(199), Noisy, mask.LongestBand().HighReason), mask.LongestBand());
        Assert.Empty(mask.Gaps());
    }

    [Fact]
    public void Doubts_outside_the_band_are_no_gaps() => Assert.Empty(Mask(200, (0, 50, Short), (198, 199, Noisy)).Gaps());

    [Fact]
    public void Where_nothing_is_believed_the_band_is_empty_and_gives_the_commonest_reason()
    {
        var band = Mask(10, (0, 6, Noisy), (7, 9, Short)).LongestBand();
        Assert.True(band.IsEmpty);
        Assert.Equal((Noisy, Noisy), (band.LowReason, band.HighReason));
        Assert.False(band.Contains(200));
    }

    [Fact]
    public void A_mask_without_frequencies_has_an_empty_band()
    {
        var mask = new TrustMask([], []);
        Assert.True(mask.LongestBand().IsEmpty);
        Assert.Empty(mask.Gaps());
    }

    [Fact]
    public void Two_masks_together_believe_only_what_both_do_and_keep_the_first_doubt()
    {
        TrustMask a = Mask(6, (0, 3, Short)), b = Mask(6, (2, 2, Noisy), (3, 4, Beyond));
        Reason[] expected = [Short, Short, Noisy, Short, Beyond, Reason.None];   // Noise comes before Window, Window before Microphone
        Assert.Equal(expected, Enumerable.Range(0, 6).Select(a.And(b).ReasonAt));
        Assert.Equal(expected, Enumerable.Range(0, 6).Select(b.And(a).ReasonAt));
    }

    [Fact]
    public void Of_two_doubts_of_one_kind_the_first_sentence_stays()
    {
        Reason other = new(Doubt.Noise, "mains hum");
        Assert.Equal(Noisy, Mask(1, (0, 0, Noisy)).And(Mask(1, (0, 0, other))).ReasonAt(0));
        Assert.Equal(other, Mask(1, (0, 0, other)).And(Mask(1, (0, 0, Noisy))).ReasonAt(0));
    }

    [Fact]
    public void A_mask_copies_what_it_is_given()
    {
        double[] frequenciesHz = [100, 200];
        var reasons = new Reason[2];
        var mask = new TrustMask(frequenciesHz, reasons);
        (frequenciesHz[1], reasons[1]) = (50, Noisy);
        Assert.True(mask[1]);
        Assert.Equal(200, mask.LongestBand().ToHz);
    }

    [Fact]
    public void A_mask_from_zero_hertz_up_is_not_longest_for_that_alone()
    {
        // 0 Hz is infinitely many octaves away from everything: it must not win over a real band.
        var reasons = new Reason[8];
        (reasons[2], reasons[3]) = (Noisy, Noisy);
        var band = new TrustMask([0, 10, 20, 40, 80, 160, 320, 640], reasons).LongestBand();
        Assert.Equal((80.0, 640.0), (band.FromHz, band.ToHz));
    }

    [Fact]
    public void Wrong_arguments_are_refused()
    {
        Assert.Equal("reasons", Assert.Throws<ArgumentException>(() => new TrustMask([1], [])).ParamName);
        Assert.Equal("frequenciesHz", Assert.Throws<ArgumentException>(() => new TrustMask([1, 1], new Reason[2])).ParamName);
        Assert.Equal("frequenciesHz", Assert.Throws<ArgumentException>(() => new TrustMask([1, double.NaN], new Reason[2])).ParamName);
        Assert.Equal("frequenciesHz", Assert.Throws<ArgumentException>(() => new TrustMask([-1, 1], new Reason[2])).ParamName);
        Assert.Equal("frequenciesHz", Assert.Throws<ArgumentException>(() => new TrustMask([double.NaN], new Reason[1])).ParamName);
        Assert.Equal("other", Assert.Throws<ArgumentException>(() => Mask(2).And(Mask(3))).ParamName);
    }

    [Fact]
    public void The_default_reason_is_no_reason_and_the_default_band_is_empty()
    {
        Assert.True(default(TrustedBand).IsEmpty);
        Assert.False(default(TrustedBand).Contains(0));
        Assert.Equal(Doubt.None, default(Reason).Doubt);
        Assert.Equal(default, Reason.None);
    }
}
