// SPDX-License-Identifier: MIT
namespace Sweepbook.Studies;

/// <summary>Places where the recorder lost or repeated samples, in words.</summary>
internal static class InterruptionFaults
{
    internal static TakeFault Words(TakeEvidence evidence, IReadOnlyList<Stretch> gaps)
    {
        var seconds = (double)gaps[0].First / evidence.SampleRateHz;
        var problem = gaps.Count == 1
            ? FormattableString.Invariant($"the recorder lost or repeated samples {seconds:0.0} s into the recording")
            : FormattableString.Invariant($"the recorder lost or repeated samples in {gaps.Count} places, the first {seconds:0.0} s into the recording");
        return new("interruption", FaultCost.Take, problem, "Use larger buffers, close other programs, connect the interface without a hub, then record again", gaps.Count, "places");
    }
}
