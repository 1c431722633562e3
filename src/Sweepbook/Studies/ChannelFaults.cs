// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Surveys;

namespace Sweepbook.Studies;

/// <summary>Microphone and loopback beside each other: exchanged, the same, or leaking into one another.</summary>
/// <remarks>Both channels are divided by the stimulus: a wire gives one short pulse, a room a long tail. Source: derived.</remarks>
internal static class ChannelFaults
{
    private const double PulseSeconds = 0.002;      // a wire's pulse, its band limits included, above 300 Hz
    private const double PulsePeriods = 6;          // of the highest frequency, where the sweep ends in the bass
    private const double WireRatio = 0.995;         // of the energy within the pulse: what a wire keeps
    private const double RoomRatio = 0.9;           // a room keeps less, but for a microphone at a cone
    private const double TailSeconds = 0.4;
    private const double LeakDb = -36;              // room over wire in the loopback: a ripple of 0.14 dB in the response
    private const double LeakSimilarity = 0.2;      // correlation of tail and room: noise alone gives less than 0.02 over so many samples
    private const double BassPulseSeconds = 0.01;
    private const double BassSimilarity = 0.3;      // the coupling of the inputs rings in both, below 40 Hz, and a little of that is left
    private const double CopyDb = -40;              // electrical copy over the strongest sound
    private const double CopyClearDb = 12;          // and over whatever else stands before the sound
    private const double CopySeconds = 0.0003;
    private const double CopyBesideSeconds = 0.008;
    private const double NearestSoundSeconds = 0.0015;   // sound from half a metre: closer, copy and sound are one

    /// <summary>Why a take with a clipped loopback channel is left out; null where it is not clipped. The crest of a sweep may touch full scale in a few samples.</summary>
    internal static DataFault? ClippedLoopback(Take take, ReadOnlySpan<double> reference)
    {
        const int Crest = 3;
        var clipped = TakeReading.ClippedSamples(reference).Count;
        return clipped <= Crest ? null : new(take.File, null, $"the loopback channel has {clipped} clipped samples, and their distortion would stand in every response that is divided by it",
            "Turn the gain of the loopback's input down by 6 dB, or use its line setting, and record again; the level of the loudspeaker may stay.");
    }

    /// <summary>How long a wire's pulse lasts either side of its peak, bass taken out by differences, in seconds: the band's upper end decides.</summary>
    internal static double WirePulseSeconds(TakeEvidence evidence) => Math.Max(PulseSeconds, PulsePeriods / evidence.Plan.ExcitedToHz);

    /// <summary>True where no sample differs by more than two steps of the file, though there is something to differ.</summary>
    internal static bool AreSame(ReadOnlySpan<double> one, ReadOnlySpan<double> other, double step)
    {
        const double Steps = 2.5;
        for (var n = 0; n < one.Length; n++)
            if (Math.Abs(one[n] - other[n]) > Steps * step) return false;
        return TakeReading.Peak(one) > Steps * step;
    }

    /// <summary>True where the microphone channel holds a wire's pulse and the loopback channel a room.</summary>
    internal static bool AreExchanged(ImpulseResponse microphone, ImpulseResponse reference, double pulseSeconds) =>
        PulseRatio(microphone, pulseSeconds) >= WireRatio && PulseRatio(reference, pulseSeconds) < RoomRatio;

    /// <summary>Part of the energy, bass taken out by differences, close to the strongest sample.</summary>
    internal static double PulseRatio(ImpulseResponse path, double pulseSeconds)
    {
        var samples = Differences(path);
        var strongest = Strongest(samples);
        var reach = (int)(pulseSeconds * path.SampleRateHz);
        var (near, all) = (0.0, 0.0);
        for (var n = 0; n < samples.Length; n++)
        {
            var energy = samples[n] * samples[n];
            all += energy;
            if (Math.Abs(n - strongest) <= reach) near += energy;
        }
        return all == 0 ? 0 : near / all;
    }

    /// <summary>Level of the room in the loopback channel over its own pulse, in decibels; −∞ where there is none to be seen.</summary>
    /// <remarks>The room is known from the microphone channel; what the loopback holds behind its pulse is compared with it, treble and bass each by itself.</remarks>
    internal static double LeakIntoLoopbackDb(ImpulseResponse microphone, ImpulseResponse reference, double pulseSeconds)
    {
        var (room, wire) = (Differences(microphone), Differences(reference));
        var (pulse, reach, tail) = (Strongest(wire), (int)(pulseSeconds * reference.SampleRateHz), (int)(TailSeconds * reference.SampleRateHz));
        return Math.Max(Leak(wire, room, pulse, reach, tail, LeakSimilarity),
            Leak(Bass(reference), Bass(microphone), pulse, reach + (int)(BassPulseSeconds * reference.SampleRateHz), tail, BassSimilarity));
    }

    private static double Leak(ReadOnlySpan<double> wire, ReadOnlySpan<double> room, int pulse, int reach, int tail, double similarity)
    {
        var (first, end) = (pulse + reach, Math.Min(wire.Length, pulse + reach + tail));
        var (cross, rooms, wires, own) = (0.0, 0.0, 0.0, 0.0);
        for (var n = Math.Max(0, pulse - reach); n <= Math.Min(first, wire.Length - 1); n++) own += wire[n] * wire[n];
        for (var n = first; n < end; n++) (cross, rooms, wires) = (cross + wire[n] * room[n], rooms + room[n] * room[n], wires + wire[n] * wire[n]);
        if (!(rooms > 0 && wires > 0 && own > 0) || Math.Abs(cross) < similarity * Math.Sqrt(rooms * wires)) return double.NegativeInfinity;
        var gain = cross / rooms;
        return Decibels.FromPower(gain * gain * rooms / own);
    }

    internal static bool IsLeak(double leakDb) => leakDb >= LeakDb;

    /// <summary>Level of an electrical copy at the loopback's own moment in the microphone channel, over the strongest sound, in decibels; −∞ where there is none to be seen.</summary>
    internal static double CopyInMicrophoneDb(ImpulseResponse microphone, ImpulseResponse reference)
    {
        var rate = microphone.SampleRateHz;
        var samples = Differences(microphone);
        var (moment, sound) = (Strongest(Differences(reference)), Strongest(samples));
        var (own, beside) = ((int)(CopySeconds * rate), (int)(CopyBesideSeconds * rate));
        if (Math.Abs(sound - moment) <= own / 3) return 0;   // nothing in the channel is stronger than the copy
        if (sound - moment < NearestSoundSeconds * rate) return double.NegativeInfinity;
        var (copy, other) = (0.0, 0.0);
        for (var n = Math.Max(0, moment - beside); n <= Math.Min(samples.Length - 1, moment + own); n++)
        {
            if (Math.Abs(n - moment) <= own) copy = Math.Max(copy, Math.Abs(samples[n]));
            else if (moment - n > 3 * own) other = Math.Max(other, Math.Abs(samples[n]));
        }
        return copy > other * Decibels.ToAmplitudeRatio(CopyClearDb) ? Decibels.FromAmplitude(copy / Math.Abs(samples[sound])) : double.NegativeInfinity;
    }

    internal static bool IsCopy(double copyDb) => copyDb >= CopyDb;

    private static double[] Differences(ImpulseResponse path)
    {
        var samples = path.Samples;
        var differences = new double[samples.Length];
        for (var n = 1; n < samples.Length; n++) differences[n] = samples[n] - samples[n - 1];
        return differences;
    }

    /// <summary>The bass from 40 Hz up, in which a subwoofer's room stands above its noise: running means over 2 ms, and their difference over as long a time.</summary>
    private static double[] Bass(ImpulseResponse path)
    {
        var length = (int)(0.002 * path.SampleRateHz);
        var (means, sum) = (new double[path.Length], 0.0);
        for (var n = 0; n < means.Length; n++)
        {
            sum += path.Samples[n] - (n >= length ? path.Samples[n - length] : 0);
            means[n] = sum / length;
        }
        for (var n = means.Length - 1; n >= length; n--) means[n] -= means[n - length];
        return means;
    }

    private static int Strongest(ReadOnlySpan<double> samples)
    {
        var best = 0;
        for (var n = 1; n < samples.Length; n++)
            if (Math.Abs(samples[n]) > Math.Abs(samples[best])) best = n;
        return best;
    }
}
