// SPDX-License-Identifier: MIT
using System.Numerics;

namespace Sweepbook.Spectra;

/// <content>The group delay.</content>
public sealed partial class Response
{
    private Lazy<Complex[]>? _timeMoments;   // Σ t · h(t) · e^{−jωt}; null where only the values are known

    /// <summary>The group delay −dφ/dω: how much later than the time zero a narrow band round each frequency arrives.</summary>
    /// <returns>Seconds, one per grid point, a copy the caller owns; NaN where the phase is not trusted, and so everywhere without a known time zero.</returns>
    /// <remarks>
    /// For a measured response it is exact: Re(Σ t·h·e^{−jωt} / Σ h·e^{−jωt}), with no unwrapping. For a response made from values alone it is the slope of the
    /// phase between the neighbouring grid points, right only while the phase turns by less than half a turn from one to the next: below 70 ms at 1 kHz with
    /// 96 points per octave, and less above. Misleads in dips, where it leaps and may be negative though nothing arrives before it left; and as a distance: it
    /// holds the delay of every filter on the way. Source: A. V. Oppenheim, R. W. Schafer, "Discrete-Time Signal Processing", 3rd ed. 2010, section 5.1.1
    /// (definition) and 3.4.4 (differentiation of a transform).
    /// </remarks>
    public double[] GroupDelaysSeconds()
    {
        var delays = new double[Count];
        var moments = _timeMoments?.Value;
        for (var k = 0; k < Count; k++)
            delays[k] = !PhaseTrust[k] || _values[k] == Complex.Zero ? double.NaN : moments is null ? PhaseSlopeSeconds(k) : (moments[k] / _values[k]).Real;
        return delays;
    }

    private double PhaseSlopeSeconds(int k)
    {
        var (first, last) = (Math.Max(0, k - 1), Math.Min(Count - 1, k + 1));
        if (first == last) return double.NaN;
        var turned = 0.0;
        for (var n = first; n < last; n++) turned += (_values[n + 1] * Complex.Conjugate(_values[n])).Phase;
        return -turned / (2 * Math.PI * (_grid[last] - _grid[first]));
    }

    /// <summary>The same response, knowing Σ t · h(t) · e^{−jωt} at its grid points, worked out when first asked for.</summary>
    internal Response WithTimeMoments(Func<Complex[]> moments) =>
        new(_grid, _values, _power, _noisePower, _censored, LevelTrust, PhaseTrust, TimeGroup, Reference) { _uncertainty = _uncertainty, _timeMoments = new(moments), Microphone = Microphone, MicrophonePhaseHz = MicrophonePhaseHz };
}
