// SPDX-License-Identifier: MIT
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>Good takes must stay good: a false alarm makes somebody measure again for nothing.</summary>
public sealed class CleanTakesTests(ITestOutputHelper output)
{
    private const int Takes = 200;
    private const int FirstSeed = 90_000;   // none of these takes was looked at while thresholds were chosen
    private const double RuleOfThree = 3;   // none in n: the rate is below 3/n at 95 % (J. A. Hanley, A. Lippman-Hand, JAMA 249 (1983) 1743–1745; from memory, and −ln 0.05 = 2.996)

    private static readonly string[] Kinds =
        ["interruption", "exchanged", "identical", "wrong-rate", "clipped", "soft-clipping", "low-level", "no-silence", "hum", "break", "disturbance", "gate", "level-riding", "leaking-loopback", "copy-in-microphone"];

    [Fact]
    public void Good_takes_of_every_room_level_noise_and_source_have_no_fault()
    {
        var counts = Kinds.ToDictionary(kind => kind, _ => 0);
        var (withLoopback, subwoofers) = (0, 0);
        for (var seed = 0; seed < Takes; seed++)
        {
            var take = new MadeTake(FirstSeed + seed);
            var hasLoopback = seed % 4 != 3;
            if (hasLoopback) withLoopback++;
            if (take.IsSubwoofer) subwoofers++;
            foreach (var fault in take.Faults(hasLoopback))
            {
                counts[fault.Kind]++;
                output.WriteLine(FormattableString.Invariant($"take {seed}: {fault.Kind}: {fault.Problem} (sub {take.IsSubwoofer}, to {take.Stimulus.Description.EndHz} Hz, peak {take.PeakDbfs:0} dBFS, {take.Bits} bits)"));
            }
        }
        output.WriteLine($"{Takes} good takes, {withLoopback} with loopback, {subwoofers} of subwoofers at 5 % distortion");
        foreach (var kind in Kinds)
        {
            var asked = kind is "exchanged" or "leaking-loopback" or "copy-in-microphone" ? withLoopback : Takes;
            output.WriteLine(FormattableString.Invariant($"{kind}: {counts[kind]} of {asked}{(counts[kind] == 0 ? FormattableString.Invariant($", at most {100 * RuleOfThree / asked:0.0} % at 95 %") : "")}"));
        }
        Assert.All(counts, count => Assert.Equal(0, count.Value));
        Assert.InRange(subwoofers, 50, Takes);
        Assert.InRange(withLoopback, 140, Takes);
    }
}
