// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Stimuli;

/// <summary>What a sweep will give, worked out before it is played: time and energy in each part of its band, the lead of its harmonics, signal over noise.</summary>
/// <remarks>
/// From the law of the sweep alone (stationary phase): fades, and the ripple over the first and last few periods, are not in it. <see cref="Stimulus"/> has the
/// exact samples. Misleads for a sweep of a few periods of its lowest frequency. Source: A. Farina, 108th AES Convention (2000), preprint 5093;
/// A. Novak et al., J. Audio Eng. Soc. 63 (2015) 786–798, eq. 42 (fact sheet 5.1 to 5.4).
/// </remarks>
public sealed class SweepDesign
{
    private readonly SweepLaw _law;
    private readonly double _amplitude;

    private SweepDesign(StimulusDescription description) =>
        (Description, _law, _amplitude) = (description, description.Law, Decibels.ToAmplitudeRatio(description.LevelDbfs));

    /// <summary>The sweep of a stimulus.</summary>
    /// <param name="description">Its kind, frequencies, length and level; the rest does not matter here.</param>
    /// <exception cref="ArgumentException">The description breaks a rule: names the key, the value and what is allowed.</exception>
    /// <remarks>A synchronised sweep takes the next length that fits, as in <see cref="Stimulus.From"/>. A constructor in other words; it needs no source.</remarks>
    public static SweepDesign Of(StimulusDescription description)
    {
        ArgumentNullException.ThrowIfNull(description);
        var whole = StimulusRules.Completed(description);
        return StimulusRules.FirstBroken(whole) is { } broken ? throw new ArgumentException($"{broken.Problem}. {broken.Remedy}", nameof(description)) : new(whole);
    }

    /// <summary>The description it follows from; a synchronised sweep's length is rounded in it.</summary>
    public StimulusDescription Description { get; }

    /// <summary>How long the sweep lasts, in seconds.</summary>
    public double Seconds => _law.Seconds;

    /// <summary>The same sweep with another length.</summary>
    /// <param name="sweepSeconds">From 0.05 to 300 seconds.</param>
    /// <exception cref="ArgumentException">The length breaks a rule of stimuli.</exception>
    /// <remarks>Frequencies, level, fades and silences stay; see the type for when it misleads. It needs no source.</remarks>
    public SweepDesign Lasting(double sweepSeconds) => Of(Description with { SweepSeconds = sweepSeconds });

    /// <summary>The same sweep over another band, in the same time.</summary>
    /// <param name="startHz">First frequency in hertz, above zero.</param>
    /// <param name="endHz">Last frequency in hertz, above the first and at most 0.49 of the sample rate.</param>
    /// <exception cref="ArgumentException">A frequency breaks a rule of stimuli.</exception>
    /// <remarks>A narrower band leaves more time for each octave in it. It needs no source.</remarks>
    public SweepDesign Between(double startHz, double endHz) => Of(Description with { StartHz = startHz, EndHz = endHz });

    /// <summary>The same band and time, swept in another way.</summary>
    /// <param name="kind">How the frequency moves.</param>
    /// <exception cref="ArgumentException">Too short for a synchronised sweep.</exception>
    /// <remarks>A synchronised sweep may last a little longer or shorter than asked. It needs no source.</remarks>
    public SweepDesign As(SweepKind kind) => Of(Description with { Kind = kind });

    /// <summary>The moment at which a frequency plays, in seconds from the start of the sweep.</summary>
    /// <param name="frequencyHz">Frequency in hertz; below and above the band the nearer end.</param>
    /// <exception cref="ArgumentOutOfRangeException">Not above zero, or not finite.</exception>
    /// <remarks>See the type for when it misleads, and for the source.</remarks>
    public double SecondsAt(double frequencyHz) => _law.SecondsAtHz(Positive(frequencyHz, nameof(frequencyHz), "Hz"));

    /// <summary>Energy played between two frequencies: A² / 2 times the time that the sweep spends there.</summary>
    /// <param name="fromHz">Lower frequency in hertz, above zero.</param>
    /// <param name="toHz">Upper frequency in hertz, above zero; what lies outside the band counts nothing.</param>
    /// <returns>Full scale squared times seconds; zero where the upper frequency is not above the lower one.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A frequency is not above zero, or not finite.</exception>
    /// <remarks>An exponential sweep gives every whole octave of its band the same, A² · L · ln 2 / 2. See the type for when it misleads. Source: fact sheet 5.4.</remarks>
    public double EnergyBetween(double fromHz, double toHz) => _amplitude * _amplitude / 2 * Math.Max(0, SecondsAt(toHz) - SecondsAt(fromHz));

    /// <summary>Magnitude of the sweep's spectrum, |X(f)| = A / (2 √(df/dt)), in decibels re full scale · 1 s.</summary>
    /// <param name="frequencyHz">Frequency in hertz.</param>
    /// <returns>Falls by 3 dB an octave for an exponential sweep, level for a linear one; −∞ outside the band.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Not above zero, or not finite.</exception>
    /// <remarks>Within a tenth of a decibel away from the ends; fades and ripple there are left out. Source: fact sheet 5.4.</remarks>
    public double SpectrumDbAt(double frequencyHz) => Positive(frequencyHz, nameof(frequencyHz), "Hz") < _law.StartHz || frequencyHz > _law.EndHz
        ? double.NegativeInfinity
        : Decibels.FromAmplitude(_amplitude / (2 * Math.Sqrt(_law.HzPerSecondAt(frequencyHz))));

    /// <summary>By how much this sweep lifts the signal over steady noise, compared with another one: the difference of their spectra.</summary>
    /// <param name="other">The other sweep.</param>
    /// <param name="frequencyHz">Frequency in hertz.</param>
    /// <returns>Decibels; twice the length gives 10 · lg 2 = 3.01 dB at every frequency. NaN where neither sweep plays.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The frequency is not above zero, or not finite.</exception>
    /// <remarks>
    /// Holds for steady noise, the same window and a room that does not change meanwhile: a longer sweep meets more doors, lorries and moving air.
    /// Source: ISO 18233:2006 (fact sheet 4.16), and the spectrum of fact sheet 5.4.
    /// </remarks>
    public double SnrGainDbOver(SweepDesign other, double frequencyHz)
    {
        ArgumentNullException.ThrowIfNull(other);
        return SpectrumDbAt(frequencyHz) - other.SpectrumDbAt(frequencyHz);
    }

    /// <summary>Signal over noise that a response will have: |H|² · |X|² over the noise that its window lets in.</summary>
    /// <param name="frequencyHz">Frequency in hertz, inside the band.</param>
    /// <param name="responseLevelDb">Level of the response |H| there, recorded over played, in decibels.</param>
    /// <param name="noiseDensityDb">Noise of the recording in one hertz there (power below half the rate over its bandwidth), in decibels re full scale² per hertz.</param>
    /// <param name="windowSeconds">Time for which the window is open, ∫ w² dt, in seconds above zero.</param>
    /// <returns>Decibels; −∞ outside the band.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Frequency or window is not above zero, or not finite.</exception>
    /// <remarks>
    /// For steady noise. Played means what the response was divided by: a loopback channel's own level where there is one. A two-sided density of N lets
    /// N · ∫ w² dt of power through a window; a density over positive frequencies is twice that. Derived from the transform of white noise.
    /// </remarks>
    public double SnrDbAt(double frequencyHz, double responseLevelDb, double noiseDensityDb, double windowSeconds) =>
        responseLevelDb + SpectrumDbAt(frequencyHz) - noiseDensityDb - Decibels.FromPower(Positive(windowSeconds, nameof(windowSeconds), "s") / 2);

    /// <summary>By how much a harmonic lies before the response itself: L · ln n, L = T / ln(f₂/f₁).</summary>
    /// <param name="order">Order n of the harmonic, 1 (the sweep itself) or more.</param>
    /// <returns>Seconds, the same at every frequency; NaN for a linear sweep, whose harmonics have no place of their own.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The order is below 1.</exception>
    /// <remarks>The harmonic begins there; in a room it then decays towards the response like any sound. Source: fact sheet 5.2.</remarks>
    public double HarmonicLeadSeconds(int order)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(order, 1);
        return _law.Kind == SweepKind.Linear ? double.NaN : _law.LeadSecondsOf(order);
    }

    /// <summary>The length at which this sweep has so much more signal over noise than now: T · 10^(gain/10).</summary>
    /// <param name="snrGainDb">The gain in decibels; below zero for a shorter sweep.</param>
    /// <returns>Seconds; more than the longest stimulus may be asked for.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Not finite.</exception>
    /// <remarks>For steady noise only; see <see cref="SnrGainDbOver"/>, also for the source.</remarks>
    public double SecondsForSnrGain(double snrGainDb) => double.IsFinite(snrGainDb)
        ? Seconds * Decibels.ToPowerRatio(snrGainDb)
        : throw new ArgumentOutOfRangeException(nameof(snrGainDb), snrGainDb, "Must be a finite number of dB.");

    /// <summary>The length at which a harmonic leads by so much: t · ln(f₂/f₁) / ln n.</summary>
    /// <param name="order">Order n of the harmonic, 2 or more.</param>
    /// <param name="leadSeconds">Its lead in seconds, above zero.</param>
    /// <returns>Seconds; NaN for a linear sweep.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The order is below 2, or the lead not above zero and finite.</exception>
    /// <remarks>A lead as long as the slowest decay keeps what is left of the harmonic 60 dB down. Source: fact sheet 5.2.</remarks>
    public double SecondsForLead(int order, double leadSeconds)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(order, 2);
        var seconds = Positive(leadSeconds, nameof(leadSeconds), "s") * Math.Log(_law.EndHz / _law.StartHz) / Math.Log(order);
        return _law.Kind == SweepKind.Linear ? double.NaN : seconds;
    }

    /// <summary>Kind, band and length, as a reader says them.</summary>
    public override string ToString() => FormattableString.Invariant($"{_law.Kind.ToString().ToLowerInvariant()} sweep, {_law.StartHz:0.###} to {_law.EndHz:0.###} Hz in {Seconds:0.###} s");

    private static double Positive(double value, string name, string unit) =>
        value > 0 && double.IsFinite(value) ? value : throw new ArgumentOutOfRangeException(name, value, $"Must be in (0, ∞) {unit}.");
}
