// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Microphones;

/// <summary>What turns one microphone's samples into sound pressure at one input gain, and how quiet the chain is.</summary>
/// <remarks>
/// The noise is that of room, microphone, preamplifier and converter together: an upper bound of the microphone's own, in any room that people live in far above it.
/// A sensitivity holds for one input gain; nothing is converted from one gain to another, because the printed steps of a knob are not exact.
/// Source: definitions of level (ISO 80000-8) and sensitivity; equivalent noise as on data sheets (fact sheet 11.8).
/// </remarks>
public sealed class MicrophoneLevel
{
    /// <summary>Gain of the input in decibels for which it holds; null where the survey states none.</summary>
    public double? InputGainDb { get; internal init; }

    /// <summary>Reading at 94 dB re 20 µPa, in dBFS; NaN where it is not known.</summary>
    public double SensitivityDbfs { get; internal init; } = double.NaN;

    /// <summary>Where the sensitivity comes from: the calibrator's recordings, or <c>survey.toml</c>; empty where there is none.</summary>
    public string Origin { get; internal init; } = "";

    /// <summary>The calibrator's recordings behind it, in the survey's order; empty where it is stated, or not known.</summary>
    public IReadOnlyList<CalibratorReading> Readings { get; internal init; } = [];

    /// <summary>Why there is no sensitivity and what to do, as a sentence; empty where there is one.</summary>
    public string WhyNot { get; internal init; } = "";

    /// <summary>True where levels are sound pressure levels.</summary>
    public bool IsKnown => double.IsFinite(SensitivityDbfs);

    /// <summary>Level of a sine that just reaches full scale, in decibels re 20 µPa; NaN where the sensitivity is not known.</summary>
    public double FullScaleDb => CalibratorReading.ReferenceDb - SensitivityDbfs;

    /// <summary>The loudest sound that the data sheet allows the microphone, in decibels re 20 µPa; NaN where it is not stated.</summary>
    public double StatedMaximumDb { get; internal init; } = double.NaN;

    /// <summary>By how much the input clips above the microphone's stated maximum, in decibels; below zero where the input clips first. NaN where either is not known.</summary>
    public double InputAboveMaximumDb => FullScaleDb - StatedMaximumDb;

    /// <summary>A-weighted level of room and chain before the sweeps, in dB(A): an upper bound of the microphone's noise; NaN where nothing is known about it.</summary>
    public double EquivalentNoiseDba { get; internal init; } = double.NaN;

    /// <summary>The same in third octaves, unweighted, where the silence was long enough for the band; empty where nothing is known.</summary>
    public IReadOnlyList<BandLevel> NoiseBands { get; internal init; } = [];

    /// <summary>Number of takes whose silence was read; the median over them is given.</summary>
    public int NoiseTakes { get; internal init; }

    /// <summary>Noise that the data sheet promises, in dB(A); NaN where it is not stated.</summary>
    public double StatedNoiseDba { get; internal init; } = double.NaN;

    /// <summary>94 dB less the equivalent noise: the signal-to-noise ratio as data sheets state it, in decibels (fact sheet 11.8); a lower bound, as the noise is an upper one.</summary>
    public double SignalToNoiseDb => CalibratorReading.ReferenceDb - EquivalentNoiseDba;

    /// <summary>The sound pressure level of a reading at the frequency of the calibrator.</summary>
    /// <param name="levelDbfs">Level of a sine re one that just reaches full scale, in dBFS; −∞ for nothing.</param>
    /// <returns>Decibels re 20 µPa; NaN where the sensitivity is not known.</returns>
    /// <remarks>At other frequencies the microphone's calibration is to be taken off as well. Source: the definition of sensitivity.</remarks>
    public double SoundPressureLevelDb(double levelDbfs) => levelDbfs + FullScaleDb;

    /// <summary>The root mean square of the sound pressure at a level: 20 µPa · 10^(L/20).</summary>
    /// <param name="levelDb">Decibels re 20 µPa; −∞ for nothing.</param>
    /// <returns>Pascals: 1.002374 at 94 dB (fact sheet 11.3).</returns>
    /// <remarks>Source: the definition of sound pressure level, ISO 80000-8. Nothing can mislead but a level that is relative.</remarks>
    public static double PressureInPascals(double levelDb) => ReferencePascals * Decibels.ToAmplitudeRatio(levelDb);

    private const double ReferencePascals = 20e-6;
}
