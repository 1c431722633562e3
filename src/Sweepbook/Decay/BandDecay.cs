// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Quantities;

namespace Sweepbook.Decay;

/// <summary>How the sound in one band decays: its curve and every figure read from it, each with range, uncertainty and reason.</summary>
/// <remarks>Made by <see cref="ImpulseDecays"/>, which says how. Source: ISO 3382-1:2009 and 3382-2:2008 (fact sheet 4).</remarks>
public sealed class BandDecay
{
    private readonly DecayValue[] _values;

    internal BandDecay(FrequencyBand band, DecayCurve curve, DecayValue[] values, BandReading? reading) => (Band, Curve, _values, Reading) = (band, curve, values, reading);

    /// <summary>The band; the default for all frequencies together.</summary>
    public FrequencyBand Band { get; }

    /// <summary>Its decay curve; empty for an arithmetic mean over places, which has none.</summary>
    public DecayCurve Curve { get; }

    /// <summary>A figure.</summary>
    /// <param name="quantity">Which one.</param>
    /// <returns>The figure; where it cannot be given it says why.</returns>
    /// <exception cref="ArgumentOutOfRangeException">No such quantity.</exception>
    public DecayValue this[DecayQuantity quantity] => (int)quantity >= 0 && (int)quantity < _values.Length
        ? _values[(int)quantity]
        : throw new ArgumentOutOfRangeException(nameof(quantity), quantity, "Must be in [Edt, Ts].");

    /// <summary>All figures, in the order of <see cref="DecayQuantity"/>.</summary>
    public IReadOnlyList<DecayValue> Values => _values;

    /// <summary>Early decay time.</summary>
    public DecayValue Edt => this[DecayQuantity.Edt];

    /// <summary>Decay time from −5 to −25 dB.</summary>
    public DecayValue T20 => this[DecayQuantity.T20];

    /// <summary>Decay time from −5 to −35 dB.</summary>
    public DecayValue T30 => this[DecayQuantity.T30];

    /// <summary>Decay time of the last 20 dB above the noise.</summary>
    public DecayValue Late => this[DecayQuantity.Late];

    /// <summary>Clarity at 50 ms.</summary>
    public DecayValue C50 => this[DecayQuantity.C50];

    /// <summary>Clarity at 80 ms.</summary>
    public DecayValue C80 => this[DecayQuantity.C80];

    /// <summary>Definition.</summary>
    public DecayValue D50 => this[DecayQuantity.D50];

    /// <summary>Centre time.</summary>
    public DecayValue Ts => this[DecayQuantity.Ts];

    /// <inheritdoc/>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{(Band.BandsPerOctave > 0 ? $"{Band.Label} Hz" : "all frequencies")}: T30 {T30}");

    /// <summary>The same band with no figure, for a reason from outside: not excited, for instance.</summary>
    internal BandDecay Refused(string reason) => new(Band, Curve, [.. _values.Select(value => value.Refused(reason))], null);

    /// <summary>The same band with a word before every reason: not all places took part.</summary>
    internal BandDecay InPart(string part) => new(Band, Curve, [.. _values.Select(value => value.IsValid ? value with { Reason = string.IsNullOrEmpty(value.Reason) ? part : $"{part}; {value.Reason}" } : value)], Reading);

    /// <summary>What it was read from; null for an arithmetic mean and for a band that was refused.</summary>
    internal BandReading? Reading { get; }
}
