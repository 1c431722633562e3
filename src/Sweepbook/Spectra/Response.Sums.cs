// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Spectra;

/// <content>Sums of complex values, and what a delay, a gain or a reversed polarity would make of a response.</content>
public sealed partial class Response
{
    private const double WantedForLevelDb = 15;   // design, "What may be believed": below it a level is an upper bound
    private static readonly Reason PhaseUnknown = new(Doubt.Microphone, "the phases of the two microphones are not calibrated here");
    private const double LongestDelayMs = 10_000;

    /// <summary>H = H₁ + H₂: what both sources give at this place when they play together, phases included.</summary>
    /// <param name="other">A response of the same time group, grid, level reference and microphone. The same place is the caller's business: nothing here can see it.</param>
    /// <returns>
    /// A new response. Level and phase are trusted where both phases (and both levels) are; noise powers add; a level less than 15 dB above that noise is an upper
    /// bound. The level is that of the sum at exactly each frequency, and how far it may be off is not known.
    /// </returns>
    /// <exception cref="ArgumentException">
    /// The time groups differ or are unknown, the grids or level references differ, or two microphones heard them and the phase of one is not taken out; the message says what to do.
    /// </exception>
    /// <remarks>
    /// Misleads where the sources change each other (they share a port, an amplifier or a limiter), where anything moved between the takes, and above some
    /// 200 Hz in a room, where a sum at one place says nothing about the next. Source: linearity; masks and noise by own definition (design, "What may be believed").
    /// </remarks>
    public Response Plus(Response other)
    {
        ArgumentNullException.ThrowIfNull(other);
        if (TimeGroup.WhyNotWith(other.TimeGroup) is { } why) throw new ArgumentException(why, nameof(other));
        if (WhyNotWithMicrophoneOf(other) is { } twoMicrophones) throw new ArgumentException(twoMicrophones, nameof(other));
        if (!_grid.FrequenciesHz.SequenceEqual(other._grid.FrequenciesHz))
            throw new ArgumentException("The responses stand on different frequency grids, as after different stimuli. Measure both with one stimulus, then add.", nameof(other));
        if (Reference != other.Reference)
            throw new ArgumentException($"The levels are {LevelReference} and {other.LevelReference}; the difference between the two is not known. Measure both in one way, then add.", nameof(other));
        var (values, power, noise, censored) = (new Complex[Count], new double[Count], new double[Count], new bool[Count]);
        for (var k = 0; k < Count; k++)
        {
            values[k] = _values[k] + other._values[k];
            power[k] = values[k].Real * values[k].Real + values[k].Imaginary * values[k].Imaginary;
            noise[k] = _noisePower[k] + other._noisePower[k];
            censored[k] = power[k] < noise[k] * (1 + Decibels.ToPowerRatio(WantedForLevelDb));   // the reading contains the noise once
        }
        var phase = PhaseTrust.And(other.PhaseTrust);
        if (Microphone is not null && other.Microphone is not null && Microphone != other.Microphone)
            foreach (var (fromHz, toHz) in new[] { MicrophonePhaseHz!.Value, other.MicrophonePhaseHz!.Value })   // beyond them each microphone turns as it likes
                phase = phase.And(Limits.From(_grid.FrequenciesHz, fromHz, PhaseUnknown)).And(Limits.UpTo(_grid.FrequenciesHz, toHz, PhaseUnknown));
        var sum = new Response(_grid, values, power, noise, censored, LevelTrust.And(other.LevelTrust).And(phase), phase, TimeGroup, Reference)
        {
            Microphone = Microphone is null || other.Microphone is null || Microphone == other.Microphone ? Microphone ?? other.Microphone : $"{Microphone} and {other.Microphone}",
            MicrophonePhaseHz = MicrophonePhaseHz is { } one && other.MicrophonePhaseHz is { } two ? (Math.Max(one.FromHz, two.FromHz), Math.Min(one.ToHz, two.ToHz)) : null,
        };
        return _timeMoments is { } mine && other._timeMoments is { } theirs
            ? sum.WithTimeMoments(() => [.. mine.Value.Zip(theirs.Value, (one, two) => one + two)])
            : sum;
    }

    /// <summary>The response as it would be if its source spoke later: H · e^{−jωt}.</summary>
    /// <param name="delayMs">How much later, in milliseconds, in [−10 000, 10 000]; negative is earlier.</param>
    /// <returns>A new response with the same levels, masks and time group.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The delay is outside the interval or NaN.</exception>
    /// <remarks>
    /// It keeps its time group, because the clock is still the same and only the source would be late, as behind a processor. Never use it to bring takes
    /// without a common time zero "into line": <see cref="Plus"/> refuses them for a reason. Misleads as a forecast where the processor rounds its delays.
    /// Source: the shift theorem; A. V. Oppenheim, R. W. Schafer, "Discrete-Time Signal Processing", 3rd ed. 2010, section 2.9.2.
    /// </remarks>
    public Response Delayed(double delayMs)
    {
        if (!(Math.Abs(delayMs) <= LongestDelayMs)) throw new ArgumentOutOfRangeException(nameof(delayMs), delayMs, $"Must be in [−{LongestDelayMs}, {LongestDelayMs}] ms.");
        var seconds = delayMs / 1000;
        var turns = _grid.ToArray().Select(frequencyHz => Complex.FromPolarCoordinates(1, -2 * Math.PI * frequencyHz * seconds)).ToArray();
        var delayed = Scaled(k => turns[k], 1);
        return _timeMoments is { } moments ? delayed.WithTimeMoments(() => [.. moments.Value.Select((moment, k) => (moment + seconds * _values[k]) * turns[k])]) : delayed;
    }

    /// <summary>The response as it would be with the two leads of its source exchanged: −H.</summary>
    /// <returns>A new response with the same levels, masks and time group.</returns>
    /// <remarks>An exact change of sign; nothing can mislead but wiring that is not what one thinks. It needs no source.</remarks>
    public Response Inverted() => WithMomentsScaled(Scaled(_ => -1, 1), -1);

    /// <summary>The response as it would be with its source louder or quieter: H · 10^(gain/20).</summary>
    /// <param name="gainDb">Gain in decibels, in [−200, 200].</param>
    /// <returns>A new response with the same masks and time group; its noise is scaled with it, so that its signal-to-noise ratio stays.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The gain is outside the interval or NaN.</exception>
    /// <remarks>Misleads where the source cannot play that loud without changing its shape. Source: linearity.</remarks>
    public Response Gained(double gainDb)
    {
        const double MostDb = 200;
        if (!(Math.Abs(gainDb) <= MostDb)) throw new ArgumentOutOfRangeException(nameof(gainDb), gainDb, $"Must be in [−{MostDb}, {MostDb}] dB.");
        var gain = Decibels.ToAmplitudeRatio(gainDb);
        return WithMomentsScaled(Scaled(_ => gain, gain), gain);
    }

    /// <summary>Why two responses may not meet as complex numbers, because two microphones heard them; null where they may.</summary>
    internal string? WhyNotWithMicrophoneOf(Response other) =>
        Microphone is null || other.Microphone is null || Microphone == other.Microphone || (IsMicrophonePhaseOut && other.IsMicrophonePhaseOut) ? null
        : $"{Microphone} heard one and {other.Microphone} the other, and each microphone has a phase of its own, which is not taken out of both. Measure both with one microphone, "
            + "or give each a calibration file with a phase, or calibration_phase = \"minimum\" in survey.toml.";

    private Response Scaled(Func<int, Complex> factor, double amplitude) =>
        new(_grid, [.. _values.Select((value, k) => value * factor(k))], [.. _power.Select(power => power * amplitude * amplitude)],
            [.. _noisePower.Select(power => power * amplitude * amplitude)], _censored, LevelTrust, PhaseTrust, TimeGroup, Reference)
        { _uncertainty = _uncertainty, Microphone = Microphone, MicrophonePhaseHz = MicrophonePhaseHz };

    private Response WithMomentsScaled(Response scaled, double factor) =>
        _timeMoments is { } moments ? scaled.WithTimeMoments(() => [.. moments.Value.Select(moment => factor * moment)]) : scaled;
}
