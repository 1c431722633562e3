// SPDX-License-Identifier: MIT
namespace Sweepbook.Decay;

/// <summary>What can be read from a decay. Source: ISO 3382-1:2009 (fact sheet 4).</summary>
public enum DecayQuantity
{
    /// <summary>Early decay time: 60 dB along the first 10 dB, in seconds. It is what a listener hears as reverberance.</summary>
    Edt,

    /// <summary>Decay time along −5 to −25 dB, in seconds.</summary>
    T20,

    /// <summary>Decay time along −5 to −35 dB, in seconds.</summary>
    T30,

    /// <summary>Decay time along the last 20 dB that stay 10 dB above the noise, in seconds: the second slope, where there are two. Own choice of stretch.</summary>
    Late,

    /// <summary>Clarity of speech: energy of the first 50 ms over the energy after them, in decibels.</summary>
    C50,

    /// <summary>Clarity of music: the same at 80 ms.</summary>
    C80,

    /// <summary>Definition: energy of the first 50 ms over all energy, from 0 to 1.</summary>
    D50,

    /// <summary>Centre time: the mean moment of the energy after the start, in milliseconds.</summary>
    Ts,
}
