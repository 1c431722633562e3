// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;

namespace Sweepbook.Nearfield;

/// <summary>How far the sum may be off: each part's share is turned onto the sum and set against what is left of it, so that it grows where the parts cancel.</summary>
/// <remarks>
/// Per part: repeatability or noise (a circle round its value), the microphone's distance, its area (± 3 %, every value within as likely: own choice; pressure goes with its
/// root), what crosstalk was taken off, and the share by which the ports disagree with the law of the vented box beyond what these explain. The area of the first cone divides all others. First order: JCGM 100:2008 (GUM), 5.1.2, for a complex sum written out.
/// </remarks>
internal sealed class SumUncertainty
{
    private const double CoverageFactor = 2;
    private const double AreaRatio = 0.03 / 1.7320508075688772 / 2;   // standard, of a pressure: GUM 4.3.7, then the root of the area
    private const double MostLevelRatio = 0.5;      // own choice: 2u beyond half of the sum, 4.3 dB, is no interval any more
    private const double MostPhaseDegrees = 10;     // design, "What may be believed": time zero
    private readonly double[] _along, _across;

    private SumUncertainty(double[] along, double[] across) => (_along, _across) = (along, across);

    /// <summary>2u in decibels: 20/ln 10 · 2u/|S|.</summary>
    internal double[] ExpandedDb => [.. _along.Select(ratio => CoverageFactor * DecibelsOf(ratio))];

    internal static SumUncertainty Of(Radiator[] radiators, Response[] scaled, Response sum, Crosstalk crosstalk, double drivenErrorRatio)
    {
        var (along, across) = (new double[sum.Count], new double[sum.Count]);
        var drivenRatio = Unexplained(radiators, drivenErrorRatio);
        for (var k = 0; k < along.Length; k++)
        {
            var total = sum[k].Value;
            if (total == Complex.Zero)
            {
                (along[k], across[k]) = (double.PositiveInfinity, double.PositiveInfinity);
                continue;
            }
            var (isotropic, square) = (0.0, (Along: 0.0, Across: 0.0));
            var (others, driven) = (Complex.Zero, Complex.Zero);
            for (var i = 0; i < scaled.Length; i++)
            {
                var weight = radiators[i].Count * Math.Sqrt(radiators[i].AreaSquareMetres / radiators[0].AreaSquareMetres);
                var part = scaled[i][k].Value / total;
                isotropic += Square(Chance(radiators[i].Response[k]) * Reading(radiators[i].Response[k], scaled[i][k]) / total.Magnitude)
                    + Square(weight * crosstalk.Uncertainty[i][k] / total.Magnitude);
                Add(ref square, part, radiators[i].DistanceUncertaintyRatio);
                if (radiators[i].Kind != RadiatorKind.Cone) driven += part;
                if (i == 0) continue;
                Add(ref square, part, AreaRatio);
                others += part;
            }
            Add(ref square, others, AreaRatio);
            Add(ref square, driven, drivenRatio);
            (along[k], across[k]) = (Math.Sqrt(isotropic + square.Along), Math.Sqrt(isotropic + square.Across));
        }
        return new(along, across);
    }

    /// <summary>What of the disagreement between ports and their box is more than two standard deviations of distances and areas: up to there these explain it, and count already.</summary>
    private static double Unexplained(Radiator[] radiators, double errorRatio)
    {
        double Widest(bool isMotor) => radiators.Where(radiator => radiator.Kind == RadiatorKind.Cone == isMotor).Select(radiator => radiator.DistanceUncertaintyRatio).DefaultIfEmpty(0).Max();
        var explained = CoverageFactor * CoverageFactor * (Square(Widest(true)) + Square(Widest(false)) + 2 * Square(AreaRatio));
        return Math.Sqrt(Math.Max(0, errorRatio * errorRatio - explained));
    }

    /// <summary>The sum knowing its uncertainty, and doubted where it is no more than that.</summary>
    internal Response Judged(Response sum, IReadOnlyList<Radiator> radiators)
    {
        var (level, phase, parts) = (new Reason[sum.Count], new Reason[sum.Count], new LevelUncertainty[sum.Count]);
        for (var k = 0; k < level.Length; k++)
        {
            if (CoverageFactor * _along[k] > MostLevelRatio)
                level[k] = phase[k] = new(Doubt.NearField, FormattableString.Invariant($"the parts cancel to within their uncertainty: more than half of what is left may be distance, area or noise"));
            var degrees = CoverageFactor * _across[k] * (180 / Math.PI);
            if (degrees > MostPhaseDegrees && phase[k].Doubt == Doubt.None)
                phase[k] = new(Doubt.NearField, FormattableString.Invariant($"the phase of the sum is known to no better than ± {MostPhaseDegrees:0}°: the parts cancel"));
            parts[k] = new(CoverageFactor * DecibelsOf(_along[k]), radiators.Min(radiator => radiator.Response[k].Uncertainty.Basis), radiators[0].Response[k].Uncertainty.MicrophoneDb, 0, 0);   // one microphone, which shifts all alike
        }
        var frequencies = sum.Grid.FrequenciesHz;
        return sum.Doubted(new(frequencies, level), new(frequencies, phase)).With(parts);
    }

    /// <summary>The same on an absolute scale, where the first cone's own area counts.</summary>
    internal static Response WithScale(Response far) => far.With([.. far.Points().Select(point => point.Uncertainty with { PositionDb = DecibelsOf(AreaRatio) })]);

    /// <summary>Standard deviation of one part by chance, relative to its reading: from its repeatability, or where there is none from its noise.</summary>
    private static double Chance(ResponsePoint point)
    {
        var repeatability = point.Uncertainty.RepeatabilityDb;
        if (!double.IsNaN(repeatability)) return repeatability / CoverageFactor / DecibelsOf(1);
        return point.PowerRatio > 0 && !double.IsNaN(point.NoisePowerRatio) ? Math.Sqrt(point.NoisePowerRatio / 2 / point.PowerRatio) : 0;
    }

    /// <summary>The magnitude of the reading on the scale of the sum, before crosstalk was taken off: noise does not shrink with it.</summary>
    private static double Reading(ResponsePoint measured, ResponsePoint scaled) => measured.NoisePowerRatio > 0
        ? Math.Sqrt(scaled.NoisePowerRatio / measured.NoisePowerRatio * measured.PowerRatio)
        : scaled.Value.Magnitude;

    private static void Add(ref (double Along, double Across) square, Complex part, double ratio)
    {
        square.Along += Square(part.Real * ratio);
        square.Across += Square(part.Imaginary * ratio);
    }

    private static double DecibelsOf(double ratio) => 20 / Math.Log(10) * ratio;   // first order, as the propagation itself

    private static double Square(double value) => value * value;
}
