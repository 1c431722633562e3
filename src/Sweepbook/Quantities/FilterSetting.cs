// SPDX-License-Identifier: MIT
namespace Sweepbook.Quantities;

/// <summary>The kinds of filter that a processor offers.</summary>
public enum FilterKind
{
    /// <summary>Bell: raises or lowers around its frequency.</summary>
    Peak,

    /// <summary>Raises or lowers everything below its frequency.</summary>
    LowShelf,

    /// <summary>Raises or lowers everything above its frequency.</summary>
    HighShelf,

    /// <summary>Keeps what lies below its frequency.</summary>
    LowPass,

    /// <summary>Keeps what lies above its frequency.</summary>
    HighPass,

    /// <summary>Turns the phase and keeps the level.</summary>
    AllPass,
}

/// <summary>One filter as a person enters it into a processor. A plain fact: what it does to a signal is computed elsewhere.</summary>
public readonly record struct FilterSetting
{
    /// <summary>What it does.</summary>
    public FilterKind Kind { get; init; }

    /// <summary>Centre or corner frequency in hertz.</summary>
    public double FrequencyHz { get; init; }

    /// <summary>Gain in decibels; zero for the kinds that have none.</summary>
    public double GainDb { get; init; }

    /// <summary>Quality factor, linear; 1/√2 where a processor offers none.</summary>
    public double Q { get; init; }
}
