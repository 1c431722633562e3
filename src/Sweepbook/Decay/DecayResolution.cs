// SPDX-License-Identifier: MIT
namespace Sweepbook.Decay;

/// <summary>What the window of a decay map does to its two axes, at one frequency.</summary>
/// <param name="FrequencyHz">Finest detail along the frequency axis, in hertz: the noise bandwidth of the window, which is 1/T for a rectangle and 1.5/T for a Hann window. Two resonances closer than this show as one.</param>
/// <param name="TimeSeconds">Finest detail along the time axis, in seconds: the rise of the window of a cumulative map, the width at half height of one that slides.</param>
/// <param name="ShortestDecaySeconds">Time for 60 dB that a click shows, in seconds: the window's own, and what five slices can tell. Shorter decays than this cannot be seen.</param>
/// <remarks>
/// Finer slices or a finer grid of frequencies change none of the three but the last. Source of the noise bandwidth: F. J. Harris, "On the Use of Windows
/// for Harmonic Analysis with the Discrete Fourier Transform", Proc. IEEE 66 (1978), section IV; the other two are own definitions.
/// </remarks>
public readonly record struct DecayResolution(double FrequencyHz, double TimeSeconds, double ShortestDecaySeconds);
