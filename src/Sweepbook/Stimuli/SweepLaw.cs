// SPDX-License-Identifier: MIT
namespace Sweepbook.Stimuli;

/// <summary>How frequency and phase of a sweep go with time: the one place where the formulas stand.</summary>
/// <remarks>
/// Exponential: f = f₁ · e^{t/L}, cycles = f₁ · L · (e^{t/L} − 1), L = T / ln(f₂/f₁) (A. Farina, 108th AES Convention (2000), preprint 5093; fact sheet 5.1).
/// Synchronised: the same with L = k / f₁, k = f₁T / ln(f₂/f₁) rounded to a whole number, and T = L · ln(f₂/f₁): every harmonic then starts in phase with
/// the sweep (A. Novak, L. Simon, F. Kadlec, P. Lotton, IEEE Trans. Instrum. Meas. 59 (2010) 2220–2229, the rounding; fact sheet 5.6).
/// Linear: f = f₁ + (f₂ − f₁) t / T, cycles = f₁t + (f₂ − f₁) t² / (2T) (derived, the integral of the frequency).
/// </remarks>
internal sealed record SweepLaw
{
    /// <param name="kind">How the frequency moves.</param>
    /// <param name="startHz">First frequency, above zero.</param>
    /// <param name="endHz">Last frequency, above the first.</param>
    /// <param name="wishedSeconds">Length, above zero; a synchronised sweep takes the next length that fits.</param>
    internal SweepLaw(SweepKind kind, double startHz, double endHz, double wishedSeconds)
    {
        (Kind, StartHz, EndHz, Seconds) = (kind, startHz, endHz, wishedSeconds);
        var octaves = Math.Log(endHz / startHz);
        OctaveConstantSeconds = kind == SweepKind.Linear ? double.PositiveInfinity : wishedSeconds / octaves;
        if (kind != SweepKind.Synchronised) return;
        var cycles = Math.Max(1, Math.Round(startHz * wishedSeconds / octaves, MidpointRounding.AwayFromZero));
        (OctaveConstantSeconds, Seconds) = (cycles / startHz, cycles / startHz * octaves);
    }

    internal SweepKind Kind { get; }

    internal double StartHz { get; }

    internal double EndHz { get; }

    /// <summary>T: how long the sweep lasts.</summary>
    internal double Seconds { get; }

    /// <summary>L: the time in which the frequency grows e-fold; harmonic n comes L · ln n before the sweep itself (fact sheet 5.2).</summary>
    /// <remarks>Infinite for a linear sweep: its harmonics have no place of their own, and a limit that hangs on their lead falls away.</remarks>
    internal double OctaveConstantSeconds { get; }

    /// <summary>How long before the response harmonic <paramref name="order"/> appears in it; infinite for a linear sweep.</summary>
    internal double LeadSecondsOf(int order) => OctaveConstantSeconds * Math.Log(order);

    /// <summary>Phase in cycles since the start; the formula goes on beyond both ends.</summary>
    internal double PhaseCyclesAt(double seconds) => Kind == SweepKind.Linear
        ? (StartHz + (EndHz - StartHz) * seconds / (2 * Seconds)) * seconds
        : StartHz * OctaveConstantSeconds * (Math.Exp(seconds / OctaveConstantSeconds) - 1);

    /// <summary>Frequency at a moment of the sweep; that of the nearer end before and after it.</summary>
    internal double FrequencyHzAt(double seconds)
    {
        var played = Math.Clamp(seconds, 0, Seconds);
        return Kind == SweepKind.Linear ? StartHz + (EndHz - StartHz) * played / Seconds : StartHz * Math.Exp(played / OctaveConstantSeconds);
    }

    /// <summary>The moment at which a frequency plays; the nearer end where it never does.</summary>
    internal double SecondsAtHz(double frequencyHz)
    {
        var played = Math.Clamp(frequencyHz, StartHz, EndHz);
        return Kind == SweepKind.Linear ? (played - StartHz) / (EndHz - StartHz) * Seconds : OctaveConstantSeconds * Math.Log(played / StartHz);
    }

    /// <summary>df/dt where a frequency plays, in hertz per second: a sweep of peak A has the spectrum |X| = A / (2 √(df/dt)).</summary>
    /// <remarks>The exponential law goes on beyond both ends. Stationary phase; for the exponential sweep fact sheet 5.4.</remarks>
    internal double HzPerSecondAt(double frequencyHz) => Kind == SweepKind.Linear ? (EndHz - StartHz) / Seconds : frequencyHz / OctaveConstantSeconds;
}
