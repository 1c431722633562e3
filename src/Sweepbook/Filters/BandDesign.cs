// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Filters;

/// <summary>The poles of one band at one order, after some halvings of the rate, and what they do to a steady sine.</summary>
internal sealed class BandDesign
{
    private const int PointsBetween = 12;

    private readonly FrequencyBand _band;
    private readonly int _sampleRateHz, _halvings, _passes;
    private readonly Lazy<double> _margin;

    public BandDesign(FrequencyBand band, int sampleRateHz, int halvings, int order, int passes)
    {
        (_band, _sampleRateHz, _halvings, _passes, Order) = (band, sampleRateHz, halvings, passes, order);
        // ∫ |H|⁴ of a Butterworth prototype is (1 − 1/(2n)) · π/(2n) / sin(π/(2n)) of its half width: made wider by that, it is as wide as the band.
        var share = Math.PI / (2 * order);
        var widening = passes == 1 ? 1 : 1 / ((1 - 0.5 / order) * share / Math.Sin(share));
        var factor = 1 << halvings;   // frequencies relative to the rate are all that counts
        Poles = ButterworthDesign.BandPass(band.LowerHz * factor, band.UpperHz * factor, order, sampleRateHz, widening);
        _margin = new(WorstMarginDb);
    }

    public int Order { get; }

    public BandPassPoles Poles { get; }

    /// <summary>The smallest distance to a limit, negative when one is broken.</summary>
    public double MarginDb => _margin.Value;

    public double AttenuationDb(double frequencyHz)
    {
        var (ratio, halving) = (frequencyHz / _sampleRateHz, 1.0);
        for (var k = 0; k < _halvings; k++)
        {
            halving *= HalfBandDecimation.ResponseAt(ratio);
            ratio *= 2;
            ratio -= Math.Round(ratio);   // folded into ±1/2 of the new rate
        }
        var power = halving * halving * Math.Pow(Poles.PowerAt(Math.Abs(ratio) * _sampleRateHz), _passes);
        return -Decibels.FromPower(power);
    }

    /// <summary>At the breakpoints, between them, and on to the ends of the axis.</summary>
    private double WorstMarginDb()
    {
        var ratios = Class1Limits.BreakpointRatios(_band.BandsPerOctave);
        var (margin, centreHz) = (double.PositiveInfinity, _band.CentreHz);
        for (var k = 0; k < ratios.Length; k++)
        {
            var next = k + 1 < ratios.Length ? ratios[k + 1] : Math.Max(16 * ratios[k], _sampleRateHz / centreHz);
            var points = k + 1 < ratios.Length ? PointsBetween : 8 * PointsBetween;
            for (var step = 0; step < points; step++)
            {
                var ratio = ratios[k] * Math.Pow(next / ratios[k], (double)step / points);
                margin = Math.Min(margin, Math.Min(MarginAt(ratios, ratio, centreHz * ratio), MarginAt(ratios, ratio, centreHz / ratio)));
            }
        }
        return margin;
    }

    /// <summary>∫ |H|² df in hertz, or ∫ |H|² df/f, by the trapezoid rule in t, f = centre · exp(asinh(width · sinh t)): it converges at once.</summary>
    public double BandwidthHz(bool overFrequency)
    {
        const double Step = 0.02, End = 9;
        var width = (_band.UpperHz - _band.LowerHz) / _band.CentreHz / 2;
        var sum = 0.0;
        for (var t = -End; t <= End; t += Step)
        {
            var place = width * Math.Sinh(t);
            var frequencyHz = _band.CentreHz * Math.Exp(Math.Asinh(place));
            if (!(frequencyHz < _sampleRateHz / 2.0)) break;
            sum += Math.Pow(10, -AttenuationDb(frequencyHz) / 10) * (overFrequency ? 1 : frequencyHz) * width * Math.Cosh(t) / Math.Sqrt(1 + place * place) * Step;
        }
        return sum;
    }

    private double MarginAt(double[] ratios, double ratio, double frequencyHz)
    {
        if (!(frequencyHz < _sampleRateHz / 2.0)) return double.PositiveInfinity;
        var attenuationDb = AttenuationDb(frequencyHz);
        return Math.Min(attenuationDb - Class1Limits.LeastDb(ratios, ratio), Class1Limits.MostDb(ratios, ratio) - attenuationDb);
    }
}
