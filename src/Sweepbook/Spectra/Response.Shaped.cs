// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Trust;

namespace Sweepbook.Spectra;

/// <content>A response behind a known factor, and one that is doubted more.</content>
public sealed partial class Response
{
    /// <summary>H · factor, point by point; masks and uncertainty stay, noise is scaled with it. The group delay is then the slope of the phase.</summary>
    internal Response Times(ReadOnlySpan<Complex> factors)
    {
        SameLength(factors.Length, Count, nameof(factors));
        var (values, power, noise) = (new Complex[Count], new double[Count], new double[Count]);
        for (var k = 0; k < Count; k++)
        {
            var squared = factors[k].Real * factors[k].Real + factors[k].Imaginary * factors[k].Imaginary;
            (values[k], power[k], noise[k]) = (_values[k] * factors[k], _power[k] * squared, _noisePower[k] * squared);
        }
        return new(_grid, values, power, noise, _censored, LevelTrust, PhaseTrust, TimeGroup, Reference) { _uncertainty = _uncertainty, Microphone = Microphone, MicrophonePhaseHz = MicrophonePhaseHz };
    }

    /// <summary>The same response after something was taken off its values; masks and uncertainty stay.</summary>
    internal Response Replaced(ReadOnlySpan<Complex> values, ReadOnlySpan<double> noisePower)
    {
        SameLength(values.Length, Count, nameof(values));
        var power = new double[Count];
        for (var k = 0; k < Count; k++) power[k] = values[k].Real * values[k].Real + values[k].Imaginary * values[k].Imaginary;
        return new(_grid, values, power, noisePower, _censored, LevelTrust, PhaseTrust, TimeGroup, Reference) { _uncertainty = _uncertainty, Microphone = Microphone, MicrophonePhaseHz = MicrophonePhaseHz };
    }

    /// <summary>The same response with other masks.</summary>
    internal Response Masked(TrustMask level, TrustMask phase) =>
        new(_grid, _values, _power, _noisePower, _censored, level, phase, TimeGroup, Reference) { _uncertainty = _uncertainty, Microphone = Microphone, MicrophonePhaseHz = MicrophonePhaseHz, _timeMoments = _timeMoments };

    /// <summary>The same response with more doubts.</summary>
    internal Response Doubted(TrustMask level, TrustMask phase) => Masked(LevelTrust.And(level), PhaseTrust.And(phase));
}
