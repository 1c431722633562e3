// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Studies;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class TakeLimitsTests
{
    private static readonly LogGrid Grid = LogGrid.Between(96, 5, 1000);

    [Fact]
    public void A_window_resolves_nothing_below_one_over_its_length_is_indicative_to_twice_that_and_trusted_from_there()
    {
        var mask = TakeLimits.OfRecordedImpulse(new(0.05, 0.1), FreeFieldGate.None, 48_000).Mask(Grid.FrequenciesHz);
        for (var k = 0; k < Grid.Count; k++)
        {
            var expected = Grid[k] < 10 ? "the time window of 0.1 s resolves nothing below 10 Hz"
                : Grid[k] < 20 ? "only indicative below 20 Hz, where the time window of 0.1 s still shapes the curve" : null;
            Assert.Equal((expected is null ? Doubt.None : Doubt.Window, expected), (mask.ReasonAt(k).Doubt, mask.ReasonAt(k).Sentence));
        }
    }

    [Fact]
    public void What_is_kept_before_the_arrival_must_hold_two_periods()
    {
        var mask = (TakeLimits.None with { Window = new(0.05, 1) }).Mask(Grid.FrequenciesHz);
        for (var k = 0; k < Grid.Count; k++)
            Assert.Equal(Grid[k] < 40 ? Doubt.Window : Doubt.None, mask.ReasonAt(k).Doubt);
        Assert.Equal("the 0.05 s kept before the arrival hold less than two periods below 40 Hz", mask.LongestBand().LowReason.Sentence);
    }

    [Fact]
    public void The_upper_end_is_a_twelfth_of_an_octave_below_the_sweeps_or_at_nine_tenths_of_half_the_rate()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(480, 0.5)]);
        var band = Assert.Single(Study.Of(folder.Read()).Responses).LevelBand;
        Assert.InRange(band.ToHz, 20_000 * Math.Pow(2, -1 / 12.0) / OneGridStep, 20_000 * Math.Pow(2, -1 / 12.0));

        var wide = LogGrid.Between(96, 1000, 23_900);
        var mask = TakeLimits.OfRecordedImpulse(new(0.05, 0.1), FreeFieldGate.None, 48_000).Mask(wide.FrequenciesHz);
        for (var k = 0; k < wide.Count; k++) Assert.Equal(wide[k] > 21_600 ? Doubt.UpperEnd : Doubt.None, mask.ReasonAt(k).Doubt);
    }

    private static readonly double OneGridStep = Math.Pow(2, 1.01 / 96);
}
