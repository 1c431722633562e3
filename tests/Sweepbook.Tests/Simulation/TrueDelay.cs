// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Simulation;

namespace Sweepbook.Tests.Simulation;

/// <summary>By how much one simulated source is later than another, from the plan alone: distances, delays, and what their filters turn differently.</summary>
internal static class TrueDelay
{
    private const double FromHz = 30, ToHz = 190;

    /// <summary>The part of the boxes: the line without offset through the phase between their filters, weighted by the product of their amplitudes (closed form, no room); delays included.
    /// Both of one polarity, and less than half a turn apart at the lower end.</summary>
    internal static double OfBoxes(SourceModel source, SourceModel reference)
    {
        var (sum, squares, phase) = (0.0, 0.0, double.NaN);
        for (var frequencyHz = FromHz; frequencyHz <= ToHz; frequencyHz += 0.5)
        {
            var cross = source.ResponseAt(frequencyHz) * Complex.Conjugate(reference.ResponseAt(frequencyHz));
            phase = double.IsNaN(phase) ? cross.Phase : phase + Math.IEEERemainder(cross.Phase - phase, 2 * Math.PI);
            var omega = 2 * Math.PI * frequencyHz;
            (sum, squares) = (sum + cross.Magnitude * omega * phase, squares + cross.Magnitude * omega * omega);
        }
        return -sum / squares;
    }
}
