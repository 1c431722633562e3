// SPDX-License-Identifier: MIT
namespace Sweepbook.Stimuli;

/// <summary>How the frequency of a sweep moves with time.</summary>
public enum SweepKind
{
    /// <summary>Equal time per octave, starting with phase zero: x = sin(2π · f₁ · L · (e^{t/L} − 1)).</summary>
    Exponential,

    /// <summary>Exponential with its rate rounded so that the harmonics stay in phase with the fundamental; a little longer or shorter than asked.</summary>
    Synchronised,

    /// <summary>Equal time per hertz: little energy in the bass, and its harmonics stay inside its own response.</summary>
    Linear,
}
