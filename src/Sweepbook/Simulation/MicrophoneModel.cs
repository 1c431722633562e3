// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Numerics;
using System.Text;
using Sweepbook.Quantities;

namespace Sweepbook.Simulation;

/// <summary>A microphone with a vent (high-pass), a resonance of its capsule (peak) and what else the plan gives it, and its calibration file, which states all but what came since.</summary>
internal sealed class MicrophoneModel
{
    private const int CalibrationPointsPerOctave = 24;

    private readonly PlannedMicrophone _plan;
    private readonly RecursiveFilter _filter, _stated;

    public MicrophoneModel(PlannedMicrophone plan, int sampleRateHz)
    {
        _plan = plan;
        _stated = plan.HighPass is { } vent ? RecursiveFilter.HighPass(vent.CornerHz, vent.Order, sampleRateHz) : RecursiveFilter.None(sampleRateHz);
        if (plan.RiseHz is { } riseHz) _stated = _stated.Then(RecursiveFilter.Peak(riseHz, plan.RiseDb, plan.RiseQ, sampleRateHz));
        _stated = plan.Shape.Aggregate(_stated, (filter, shape) => filter.Then(Of(shape, sampleRateHz)));
        _filter = plan.Since.Aggregate(_stated, (filter, shape) => filter.Then(Of(shape, sampleRateHz)));
    }

    public string CalibrationFile => $"microphones/{_plan.Id}.txt";

    public double[] Apply(ReadOnlySpan<double> pressure) => _filter.Apply(pressure);

    public Complex ResponseAt(double frequencyHz) => _filter.ResponseAt(frequencyHz);

    /// <summary>What is left when its calibration file was applied, held flat beyond the file's ends as the analysis does; all of it without a file.</summary>
    public double LeftDbAt(double frequencyHz) => Decibels.FromAmplitude(ResponseAt(frequencyHz).Magnitude)
        - (_plan.IsCalibrated ? Decibels.FromAmplitude(_stated.ResponseAt(Math.Clamp(frequencyHz, _plan.CalibratedFromHz, _plan.CalibratedToHz)).Magnitude) : 0);

    /// <summary>What the microphone added when it was calibrated, from the first to the last calibrated frequency, both included.</summary>
    public string CalibrationText()
    {
        var text = new StringBuilder();
        text.Append($"* Calibration of {_plan.Id}: what the microphone adds\n* frequency in Hz, level in dB\n");
        foreach (var hz in CalibrationFrequencies())
            text.Append(CultureInfo.InvariantCulture, $"{hz:0.000}\t{Decibels.FromAmplitude(_stated.ResponseAt(hz).Magnitude):0.000}\n");
        return text.ToString();
    }

    private static RecursiveFilter Of(PlannedShape shape, int sampleRateHz) => shape.Kind switch
    {
        ShapeKind.LowShelf => RecursiveFilter.LowShelf(shape.AtHz, shape.GainDb, shape.Q, sampleRateHz),
        ShapeKind.HighShelf => RecursiveFilter.HighShelf(shape.AtHz, shape.GainDb, shape.Q, sampleRateHz),
        _ => RecursiveFilter.Peak(shape.AtHz, shape.GainDb, shape.Q, sampleRateHz),
    };

    private IEnumerable<double> CalibrationFrequencies()
    {
        var steps = (int)Math.Ceiling(CalibrationPointsPerOctave * Math.Log2(_plan.CalibratedToHz / _plan.CalibratedFromHz));
        for (var k = 0; k <= steps; k++) yield return _plan.CalibratedFromHz * Math.Pow(_plan.CalibratedToHz / _plan.CalibratedFromHz, (double)k / steps);
    }
}
