// SPDX-License-Identifier: MIT
using Xunit;

namespace Sweepbook.Cli.Tests;

public sealed class TrustPictureTests
{
    private const int Width = 80;
    private static readonly TrustBar Sofa = new("sub-left", "sofa-centre", "as-found", 18, 320, "noise 9 dB below the signal (15 dB wanted)", "the stimulus ends at 400 Hz");
    private static readonly TrustBar Chair = Sofa with { Seat = "chair", ToHz = 300 };

    [Fact]
    public void Each_bar_stands_beside_its_source_and_seat_and_its_two_frequencies()
    {
        var lines = TrustPicture.Lines([Sofa, Chair], Width).ToList();
        Assert.Contains(lines, line => line.StartsWith("sub-left sofa-centre", StringComparison.Ordinal) && line.EndsWith("18–320 Hz", StringComparison.Ordinal));
        Assert.Contains(lines, line => line.StartsWith("sub-left chair", StringComparison.Ordinal) && line.EndsWith("18–300 Hz", StringComparison.Ordinal));
    }

    [Fact]
    public void Several_microphones_are_named_and_a_single_one_is_not()
    {
        var one = Sofa with { Microphone = "omni-1" };
        Assert.Contains(TrustPicture.Lines([one, one with { Microphone = "omni-2" }], Width), line => line.StartsWith("sub-left sofa-centre omni-2", StringComparison.Ordinal));
        Assert.DoesNotContain(TrustPicture.Lines([one], Width), line => line.Contains("omni", StringComparison.Ordinal));
    }

    [Fact]
    public void The_reason_is_written_for_each_end_and_not_repeated_for_the_next_seat()
    {
        var text = string.Join(' ', TrustPicture.Lines([Sofa, Chair], Width).Select(line => line.Trim()));
        Assert.Contains("from: noise 9 dB below the signal (15 dB wanted); to: the stimulus ends at 400 Hz", text);
        Assert.Equal(2, text.Split("(15 dB wanted)").Length);
    }

    [Theory]
    [InlineData(60)]
    [InlineData(Width)]
    [InlineData(110)]
    public void No_line_is_wider_than_the_screen(int width) =>
        Assert.All(TrustPicture.Lines([Sofa, Chair, Sofa with { Seat = new('s', 70), FromHz = 20.5, ToHz = 20000 }], width), line => Assert.InRange(line.Length, 1, width));

    [Fact]
    public void A_bar_twice_as_far_up_in_octaves_starts_twice_as_far_right()
    {
        // Columns between 10 Hz and 1 kHz grow with the logarithm: from 10 Hz to 100 Hz as far as from 100 Hz to 1 kHz, within one column of rounding.
        var lines = TrustPicture.Lines([Sofa with { FromHz = 10, ToHz = 1000 }, Sofa with { FromHz = 100, ToHz = 1000 }], Width).Where(line => line.Contains('█')).ToList();
        var (start, middle, end) = (lines[0].IndexOf('█'), lines[1].IndexOf('█'), lines[0].LastIndexOf('█'));
        Assert.InRange((middle - start) - (end - middle), -1, 1);
    }

    [Fact]
    public void Where_nothing_can_be_believed_the_bar_is_empty_and_the_reason_stays()
    {
        var lines = TrustPicture.Lines([Sofa with { FromHz = double.NaN, ToHz = double.NaN }], Width).ToList();
        Assert.DoesNotContain(lines, line => line.Contains('█'));
        Assert.Contains(lines, line => line.EndsWith("nothing", StringComparison.Ordinal));
        Assert.Contains(lines, line => line.Contains("noise 9 dB"));
    }

    [Fact]
    public void No_bars_make_no_picture() => Assert.Empty(TrustPicture.Lines([], Width));

    [Fact]
    public void Wrapped_text_keeps_every_word_and_the_width()
    {
        const string Text = "Seven words that are longer than twenty columns";
        var lines = Wrapped.Lines(Text, 20, "- ", "  ").ToList();
        Assert.Equal(Text, string.Join(' ', lines.Select(line => line[2..])));
        Assert.All(lines, line => Assert.InRange(line.Length, 1, 20));
    }
}
