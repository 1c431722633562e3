// SPDX-License-Identifier: MIT
using Sweepbook.Studies;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>Each fault on takes that carry it, plainly and just above where it is looked for; the takes differ by seed in everything else.</summary>
public sealed class SpoiltTakesTests(ITestOutputHelper output)
{
    private const int Seeds = 4;
    private const int FirstSeed = 70_000;   // not the takes on which thresholds were chosen

    // Fault, strength and its unit, what spoils, what is looked for, source, with loopback, most misses among four.
    internal static TheoryData<string, Action<MadeTake, double>, double, string, int, int, bool, int> Cases => new()
    {
        { "1024 samples lost", Spoiling.Lose, 1024, "interruption", -1, 0, true, 0 },
        { "64 samples lost", Spoiling.Lose, 64, "interruption", -1, 0, true, 0 },
        { "1024 samples lost, no loopback", Spoiling.Lose, 1024, "break", 1, 1, false, 3 },
        { "512 samples twice", Spoiling.Repeat, 512, "interruption", 1, 1, false, 0 },
        { "64 samples twice", Spoiling.Repeat, 64, "interruption", 1, 1, true, 0 },
        { "64 samples twice, no loopback", Spoiling.Repeat, 64, "interruption", 1, 1, false, 0 },
        { "32 zeros, no loopback", Spoiling.Zero, 32, "interruption", 1, 1, false, 0 },
        { "480 zeros", Spoiling.Zero, 480, "interruption", 1, 1, false, 0 },
        { "32 zeros", Spoiling.Zero, 32, "interruption", 1, 1, true, 0 },
        { "a bump 5 dB under the sweep", Spoiling.Bump, -5, "disturbance, break", 1, 1, true, 0 },
        { "a bump 16 dB under the sweep", Spoiling.Bump, -16, "disturbance, break", 1, 1, false, 3 },
        { "a door 5 dB under the sweep", Spoiling.Door, -5, "disturbance, break", 4, 2, true, 0 },
        { "a door 16 dB under the sweep", Spoiling.Door, -16, "disturbance, break", 1, 1, false, 3 },
        { "hum 15 dB under the sweep", Spoiling.Hum, -15, "hum", -1, 0, true, 0 },
        { "hum 27 dB under the sweep", Spoiling.Hum, -27, "hum", -1, 0, false, 0 },
        { "peak −60 dBFS", Spoiling.Quiet, -60, "low-level", -1, 0, true, 0 },
        { "peak −51 dBFS", Spoiling.Quiet, -51, "low-level", -1, 0, false, 0 },
        { "6 dB over full scale", Spoiling.Clip, 6, "clipped", -1, 0, true, 0 },
        { "0.5 dB over full scale", Spoiling.Clip, 0.5, "clipped", -1, 0, false, 0 },
        { "a soft limit of 4 dB", Spoiling.Squeeze, 4, "soft-clipping", 1, 1, true, 0 },
        { "a soft limit of 2 dB", Spoiling.Squeeze, 2, "soft-clipping", 2, 1, false, 2 },
        { "channels exchanged", Spoiling.Exchange, 0, "exchanged", 1, 1, true, 0 },
        { "channels exchanged, subwoofer", Spoiling.Exchange, 0, "exchanged", -1, 2, true, 0 },
        { "one channel twice", Spoiling.Copy, 0, "identical", -1, 0, true, 0 },
        { "the room in the loopback, 10 dB under it", Spoiling.LeakIntoLoopback, -10, "leaking-loopback", 1, 1, true, 0 },
        { "the room in the loopback, 26 dB under it", Spoiling.LeakIntoLoopback, -26, "leaking-loopback", 1, 1, true, 0 },
        { "a subwoofer in the loopback, 10 dB under it", Spoiling.LeakIntoLoopback, -10, "leaking-loopback", 1, 2, true, 0 },
        { "a subwoofer in the loopback, 27 dB under it", Spoiling.LeakIntoLoopback, -27, "leaking-loopback", 1, 2, true, 0 },
        { "the loopback in the microphone, 12 dB under the sound", Spoiling.LeakIntoMicrophone, -12, "copy-in-microphone", 1, 1, true, 0 },
        { "the loopback in the microphone, 30 dB under the sound", Spoiling.LeakIntoMicrophone, -30, "copy-in-microphone", 1, 1, true, 0 },
        { "the loopback under a subwoofer, by 20 dB", Spoiling.LeakIntoMicrophone, -20, "copy-in-microphone", 1, 2, true, 0 },
        { "level riding by 20 dB", Spoiling.Ride, 20, "level-riding", 1, 1, false, 1 },
        { "level riding by 13 dB", Spoiling.Ride, 13, "level-riding", 1, 1, true, 2 },
        { "level riding of the loopback by 12 dB", Spoiling.RideLoopback, 12, "level-riding", 1, 0, true, 0 },
        { "level riding of the loopback by 5 dB", Spoiling.RideLoopback, 5, "level-riding", 1, 0, true, 0 },
        { "noise suppression by 40 dB", Spoiling.Gate, 40, "gate", 1, 1, false, 2 },
        { "noise suppression by 25 dB", Spoiling.Gate, 25, "gate", 1, 1, true, 2 },
        { "44.1 kHz labelled 48 kHz", Spoiling.Relabel, 44_100, "wrong-rate", 1, 1, false, 0 },
        { "48 kHz labelled 44.1 kHz", Spoiling.Relabel, 52_245, "wrong-rate", 2, 0, true, 0 },
    };

    [Fact]
    public void A_limit_that_bends_is_not_called_a_bump_as_well()
    {
        for (var seed = FirstSeed; seed < FirstSeed + Seeds; seed++)
        {
            var take = new MadeTake(seed, 1, MadeSource.Loudspeaker);
            Spoiling.Squeeze(take, 8);
            Assert.Equal(["soft-clipping"], take.Faults(true).Select(fault => fault.Kind));
        }
    }

    [Fact]
    public void A_subwoofer_on_both_channels_is_called_identical_and_not_a_wrong_stimulus()
    {
        var take = new MadeTake(FirstSeed, -1, MadeSource.Subwoofer);
        Spoiling.Copy(take, 0);
        Assert.Equal("identical", TakeFaults.Behind(take.Evidence(true))?.Kind);
    }

    [Fact]
    public void A_take_without_a_silent_block_says_so_and_asks_for_a_lead_in()
    {
        var (take, recording) = (new MadeTake(FirstSeed, 1), MadeTake.AsTake(withLoopback: true));
        var evidence = take.Evidence(true);
        Assert.Contains(TakeFaults.Mild(evidence, recording, 0, (0, 0)), fault => fault.Kind == "no-silence" && fault.Remedy.Contains("lead-in", StringComparison.Ordinal));
        Assert.DoesNotContain(TakeFaults.Mild(evidence, recording, 0, (0, MadeTake.Rate / 4)), fault => fault.Kind == "no-silence");
    }

    public static TheoryData<string> Names => [.. Cases.Select(row => row.Data.Item1)];

    [Theory, MemberData(nameof(Names))]
    public void A_fault_is_found_on_takes_that_carry_it(string name)
    {
        var (_, spoil, amount, kind, design, source, hasLoopback, mostMissed) = Cases.Single(row => row.Data.Item1 == name).Data;
        var missed = 0;
        for (var seed = FirstSeed; seed < FirstSeed + Seeds; seed++)
        {
            var take = new MadeTake(seed, design, (MadeSource)source);
            spoil(take, amount);
            var faults = take.Faults(hasLoopback);
            if (faults.Any(fault => kind.Split(", ").Contains(fault.Kind))) continue;
            missed++;
            output.WriteLine(FormattableString.Invariant($"missed at seed {seed}: found {string.Join(", ", faults.Select(fault => fault.Kind))}; noise {20 * Math.Log10(take.SweepRatio / take.NoiseRatio):0} dB under the sweep, peak {take.PeakDbfs:0} dBFS, {take.Bits} bits"));
        }
        output.WriteLine($"{name}: {missed} of {Seeds} missed");
        Assert.InRange(missed, 0, mostMissed);
    }
}
