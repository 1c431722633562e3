// SPDX-License-Identifier: MIT
using Sweepbook.Stimuli;
using Xunit;

namespace Sweepbook.Tests.Stimuli;

/// <summary>Where the marker goes when nobody says where: silence for the noise, decay before the sweep, tail before the repeat.</summary>
public sealed class UsualMarkerTests
{
    private const double Decay = 0.4, Silent = 0.6;   // what the doc comment promises, in seconds

    public static TheoryData<StimulusDescription> Designs =>
    [
        new StimulusDescription { EndHz = 500 },
        new StimulusDescription { LeadInSeconds = 5, TailSeconds = 0.3 },
        new StimulusDescription { Kind = SweepKind.Synchronised, StartHz = 10, EndHz = 200, SweepSeconds = 15 },
        new StimulusDescription { Kind = SweepKind.Linear, FadeInSeconds = 0.005 },
        new StimulusDescription { SampleRateHz = 16_000, EndHz = 7_000 },
    ];

    [Theory, MemberData(nameof(Designs))]
    public void It_leaves_silence_before_the_sweep_and_comes_again_after_the_tail(StimulusDescription plain)
    {
        const double Millisecond = 1e-3;
        var stimulus = Stimulus.From(plain.WithMarker());   // also: it breaks no rule
        var (said, marker) = (stimulus.Description, stimulus.Description.Marker!);
        Assert.True(said.LeadInSeconds >= marker.StartSeconds + marker.LengthSeconds + Decay + Silent - Millisecond);
        Assert.True(said.LeadInSeconds >= plain.LeadInSeconds);
        var sweepEnd = said.LeadInSeconds + said.SweepSeconds;
        Assert.InRange(marker.RepeatStartSeconds!.Value - sweepEnd, plain.TailSeconds - Millisecond, plain.TailSeconds + 0.011);   // the next hundredth of a second
        Assert.InRange(said.TailSeconds, marker.RepeatStartSeconds.Value + marker.LengthSeconds + Silent - sweepEnd - Millisecond, marker.RepeatStartSeconds.Value + marker.LengthSeconds + Silent - sweepEnd + Millisecond);
        Assert.True(marker.EndHz <= 0.45 * said.SampleRateHz && marker.EndHz <= 12_000);
        Assert.Equal(6, marker.EndHz / marker.StartHz, 9);
    }

    [Fact]
    public void Outputs_that_are_named_already_stay()
    {
        var named = new StimulusDescription { DeviceOutputs = new Dictionary<string, int> { ["sub"] = 3, ["shelf"] = 4 }, MarkerOutput = "shelf" };
        Assert.Throws<ArgumentException>(() => Stimulus.From(named));   // a marker's output without a marker
        var stimulus = Stimulus.From(named.WithMarker());
        Assert.Equal((3, 4, "shelf"), (stimulus.Description.DeviceOutputs["sub"], stimulus.Description.DeviceOutputs["shelf"], stimulus.Description.MarkerOutput));
    }
}
