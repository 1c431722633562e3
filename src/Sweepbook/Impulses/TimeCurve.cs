// SPDX-License-Identifier: MIT
namespace Sweepbook.Impulses;

/// <summary>A curve over time: a step response, an energy-time curve.</summary>
/// <remarks>A series seen on the time axis of the impulse response it was made from: one value per sample. It carries what its values mean; it needs no source.</remarks>
public sealed class TimeCurve
{
    private readonly double[] _values;
    private readonly ImpulseResponse _of;

    /// <summary>A curve on the axis of a response; the values are taken over.</summary>
    internal TimeCurve(double[] values, ImpulseResponse of, string unit) => (_values, _of, Unit) = (values, of, unit);

    /// <summary>Number of values.</summary>
    public int Count => _values.Length;

    /// <summary>What the values are, for an axis: "no unit", "dB relative to the peak".</summary>
    public string Unit { get; }

    /// <summary>Sample rate in hertz.</summary>
    public int SampleRateHz => _of.SampleRateHz;

    /// <summary>Value <paramref name="n"/>.</summary>
    public double this[int n] => _values[n];

    /// <summary>Time of value <paramref name="n"/> after the time zero of the response, in seconds; where that is not known, after its first sample's own zero.</summary>
    public double SecondsAt(int n) => _of.SecondsAt(n);

    /// <summary>The value at a moment, straight between two samples; NaN outside the record.</summary>
    /// <param name="seconds">Moment after the time zero, in seconds.</param>
    public double At(double seconds)
    {
        var place = _of.TimeZeroSamples + seconds * SampleRateHz;
        if (!(place >= 0 && place <= Count - 1)) return double.NaN;
        var n = Math.Min((int)place, Count - 2);
        return Count == 1 || place == n ? _values[Math.Max(n, 0)] : _values[n] + (place - n) * (_values[n + 1] - _values[n]);
    }

    /// <summary>All values, a copy the caller owns.</summary>
    public double[] ToArray() => [.. _values];
}
