// SPDX-License-Identifier: MIT
using Sweepbook.Stimuli;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>A stretch of frequencies that something which happened at a known moment casts doubt on.</summary>
internal readonly record struct DoubtfulStretch(double FromHz, double ToHz, Reason Reason);

/// <summary>Which frequency of the sweep was heard at which sample of a take.</summary>
/// <param name="Stimulus">A sweep of any kind.</param>
/// <param name="SoundSeconds">How late the sound is in the recording.</param>
internal sealed record SweepClock(Stimulus Stimulus, double SoundSeconds)
{
    private const double NeighbourhoodOctaves = 1 / 6.0;   // design, "What may be believed": faults

    private readonly SweepLaw _law = Stimulus.Description.Law;

    /// <summary>The time in which the frequency grows e-fold; infinite for a linear sweep.</summary>
    internal double OctaveConstantSeconds => _law.OctaveConstantSeconds;

    /// <summary>The sweep's frequency at a sample, its ends before and after it.</summary>
    internal double FrequencyHzAt(int sample) => _law.FrequencyHzAt((double)(sample - Stimulus.SweepStart) / Stimulus.SampleRateHz - SoundSeconds);

    /// <summary>The frequencies heard at some samples, a sixth of an octave either side, overlapping stretches merged.</summary>
    /// <param name="samples">Rising.</param>
    /// <param name="reason">Why they are doubted.</param>
    internal List<DoubtfulStretch> Around(IEnumerable<int> samples, Reason reason)
    {
        var stretches = new List<DoubtfulStretch>();
        foreach (var sample in samples)
        {
            var frequencyHz = FrequencyHzAt(sample);
            var (fromHz, toHz) = (frequencyHz * Math.Pow(2, -NeighbourhoodOctaves), frequencyHz * Math.Pow(2, NeighbourhoodOctaves));
            if (stretches.Count > 0 && fromHz <= stretches[^1].ToHz) stretches[^1] = stretches[^1] with { ToHz = Math.Max(toHz, stretches[^1].ToHz) };
            else stretches.Add(new(fromHz, toHz, reason));
        }
        return stretches;
    }
}
