// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Numerics;
using System.Text;
using Sweepbook.Quantities;

namespace Sweepbook.Simulation;

/// <summary>A microphone with a vent (high-pass) and a resonance of its capsule (peak), and the calibration file that states exactly these.</summary>
internal sealed class MicrophoneModel
{
    private const int CalibrationPointsPerOctave = 24;

    private readonly PlannedMicrophone _plan;
    private readonly RecursiveFilter _filter;

    public MicrophoneModel(PlannedMicrophone plan, int sampleRateHz)
    {
        _plan = plan;
        _filter = plan.HighPass is { } vent ? RecursiveFilter.HighPass(vent.CornerHz, vent.Order, sampleRateHz) : RecursiveFilter.None(sampleRateHz);
        if (plan.RiseHz is { } riseHz) _filter = _filter.Then(RecursiveFilter.Peak(riseHz, plan.RiseDb, plan.RiseQ, sampleRateHz));
    }

    public string CalibrationFile => $"microphones/{_plan.Id}.txt";

    public double[] Apply(ReadOnlySpan<double> pressure) => _filter.Apply(pressure);

    public Complex ResponseAt(double frequencyHz) => _filter.ResponseAt(frequencyHz);

    /// <summary>What the microphone adds, from the first to the last calibrated frequency, both included.</summary>
    public string CalibrationText()
    {
        var text = new StringBuilder();
        text.Append($"* Calibration of {_plan.Id}: what the microphone adds\n* frequency in Hz, level in dB\n");
        foreach (var hz in CalibrationFrequencies())
            text.Append(CultureInfo.InvariantCulture, $"{hz:0.000}\t{Decibels.FromAmplitude(ResponseAt(hz).Magnitude):0.000}\n");
        return text.ToString();
    }

    private IEnumerable<double> CalibrationFrequencies()
    {
        var steps = (int)Math.Ceiling(CalibrationPointsPerOctave * Math.Log2(_plan.CalibratedToHz / _plan.CalibratedFromHz));
        for (var k = 0; k <= steps; k++) yield return _plan.CalibratedFromHz * Math.Pow(_plan.CalibratedToHz / _plan.CalibratedFromHz, (double)k / steps);
    }
}
