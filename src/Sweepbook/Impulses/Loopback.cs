// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Impulses;

/// <summary>Whether a reference channel holds the stimulus, and how late it is.</summary>
/// <param name="IsUsable">True where a take may be divided by it.</param>
/// <param name="Sentence">What was found; where it is not usable, also what to do.</param>
/// <param name="PeakDbfs">Peak level in decibels re full scale.</param>
/// <param name="LatencySeconds">Delay from the stimulus file to the channel, in seconds; NaN where not usable.</param>
public readonly record struct Loopback(bool IsUsable, string Sentence, double PeakDbfs, double LatencySeconds)
{
    private const double SilentBelowDbfs = -60;       // own choice: converters idle below −80, a cable that is plugged in gives above −40
    private const double PulseSeconds = 0.02;         // a loopback's impulse response is over within this time either side of its peak
    private const double WantedEnergyRatio = 0.5;     // own choice: noise or music spreads over seconds and stays below a twentieth

    /// <summary>Judges a reference channel by dividing it by the stimulus: a loopback gives one short pulse, anything else does not.</summary>
    /// <param name="byStimulus">A plan made with <see cref="Deconvolution.By"/>.</param>
    /// <param name="channel">The reference channel, full scale ±1, of the plan's length.</param>
    /// <returns>The verdict as a value; a poor channel does not throw.</returns>
    /// <remarks>A loopback with heavy processing in it (an equaliser, a room) would fail: it is then not a loopback. Source: own definition.</remarks>
    public static Loopback Judge(Deconvolution byStimulus, ReadOnlySpan<double> channel)
    {
        ArgumentNullException.ThrowIfNull(byStimulus);
        var peak = 0.0;
        foreach (var sample in channel) peak = Math.Max(peak, Math.Abs(sample));
        var peakDbfs = Decibels.FromAmplitude(peak);
        if (peakDbfs < SilentBelowDbfs)
            return new(false, "the loopback channel is silent; check the cable from the loopback output to that input, or set time_zero = \"unknown\"", peakDbfs, double.NaN);
        var pulse = byStimulus.Of(channel);
        var arrival = Arrival.AtFirstPeak(pulse);
        var (total, near) = (0.0, 0.0);
        for (var n = 0; n < pulse.Length; n++)
        {
            var energy = pulse[n] * pulse[n];
            total += energy;
            if (Math.Abs(pulse.SecondsAt(n) - arrival.Seconds) <= PulseSeconds) near += energy;
        }
        return near >= WantedEnergyRatio * total
            ? new(true, "the loopback channel holds the stimulus", peakDbfs, arrival.Seconds)
            : new(false, "the loopback channel does not hold the stimulus; check the channel numbers, and that the take belongs to this stimulus", peakDbfs, double.NaN);
    }
}
