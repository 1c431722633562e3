// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;

namespace Sweepbook.Simulation;

/// <summary>
/// A loudspeaker from digital signal to pressure at 1 m: crossover, non-linear motor y = x + a2 u² + a3 u³, roll-off of the box, gain, polarity, delay.
/// </summary>
/// <remarks>
/// u is x low-passed at the distortion corner (second-order Butterworth), because a motor distorts with excursion; without a corner u = x, and a full-scale
/// sine then gives the harmonics of fact sheet 5.8. The delay is a windowed sine cardinal, in fractions of a sample.
/// </remarks>
internal sealed class SourceModel
{
    private const int DelayReach = 40;   // taps either side of the delay, a little more than the windowed cardinal has

    private readonly PlannedSource _plan;
    private readonly RecursiveFilter _lowPass;
    private readonly RecursiveFilter _highPass;
    private readonly RecursiveFilter _excursion;
    private readonly double[] _delayTaps;
    private readonly int _sampleRateHz;

    public SourceModel(PlannedSource plan, int sampleRateHz)
    {
        (_plan, _sampleRateHz) = (plan, sampleRateHz);
        var none = RecursiveFilter.None(sampleRateHz);
        _lowPass = plan.LowPass is { } low ? RecursiveFilter.LowPass(low.CornerHz, low.Order, sampleRateHz) : none;
        _highPass = plan.HighPass is { } high ? RecursiveFilter.HighPass(high.CornerHz, high.Order, sampleRateHz) : none;
        _excursion = plan.DistortionBelowHz is { } below ? RecursiveFilter.LowPass(below, 2, sampleRateHz) : none;
        var delaySamples = plan.DelaySeconds * sampleRateHz;
        _delayTaps = new double[(int)Math.Ceiling(delaySamples) + 2 * DelayReach];
        var gain = Decibels.ToAmplitudeRatio(plan.GainDb) * (plan.IsInverted ? -1 : 1);
        ImageField.Add(_delayTaps, DelayReach + delaySamples, gain);
    }

    public double[] Apply(ReadOnlySpan<double> digital)
    {
        var drive = _lowPass.Apply(digital);
        if ((_plan.SecondOrderRatio, _plan.ThirdOrderRatio) != (0, 0))
        {
            var excursion = _excursion.Apply(drive);
            for (var n = 0; n < drive.Length; n++)
                drive[n] += excursion[n] * excursion[n] * (_plan.SecondOrderRatio + _plan.ThirdOrderRatio * excursion[n]);
        }
        return DirectConvolution.Centred(_highPass.Apply(drive), _delayTaps, DelayReach);
    }

    /// <summary>The linear part: what a faint signal meets.</summary>
    public Complex ResponseAt(double frequencyHz) =>
        _lowPass.ResponseAt(frequencyHz) * _highPass.ResponseAt(frequencyHz) * DirectConvolution.ResponseAt(_delayTaps, DelayReach, _sampleRateHz, frequencyHz);
}
