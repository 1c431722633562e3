// SPDX-License-Identifier: MIT
namespace Sweepbook.Decay;

/// <summary>What a slice of a decay map looks at.</summary>
public enum DecayMapKind
{
    /// <summary>Everything still to come within the window, from the slice's moment on: for resonances, which stand out the later the slice.</summary>
    Cumulative,

    /// <summary>What happens round the slice's moment, through one window for all frequencies: for echoes and the order of events.</summary>
    Spectrogram,

    /// <summary>What happens round the slice's moment, through a window of equally many periods at every frequency: the ear's division, more or less.</summary>
    ConstantRelative,
}
