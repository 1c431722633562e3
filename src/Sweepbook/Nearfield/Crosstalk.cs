// SPDX-License-Identifier: MIT
using System.Numerics;
using MathNet.Numerics.LinearAlgebra;
using Sweepbook.Quantities;
using Sweepbook.Spectra;

namespace Sweepbook.Nearfield;

/// <summary>Takes off what the microphone close to one radiator hears of the others: P · a/(2D) · e^{−jkD}, each a small source on the same front.</summary>
/// <remarks>
/// m = O · P + X · P' for each of them, solved together. The front is taken as endless; a small box gives
/// less, down to half, so 15 % of what is taken off counts as its standard uncertainty (own choice). Only where every place is stated and each radiator is one.
/// Source: derived from the field of a small source on a wall (fact sheet 7.1).
/// </remarks>
internal sealed class Crosstalk
{
    private const double ModelUncertaintyRatio = 0.15;

    private Crosstalk(bool isTakenOff, Response[] atFace, double[][] uncertainty) => (IsTakenOff, AtFace, Uncertainty) = (isTakenOff, atFace, uncertainty);

    /// <summary>True where something was taken off.</summary>
    internal bool IsTakenOff { get; }

    /// <summary>The pressure at each face.</summary>
    internal Response[] AtFace { get; }

    /// <summary>Standard uncertainty of each of them from this correction, as pressure, per grid point.</summary>
    internal double[][] Uncertainty { get; }

    internal static Crosstalk Of(Radiator[] radiators, double speedOfSound)
    {
        var atFace = radiators.Select(radiator => radiator.AtFace(speedOfSound)).ToArray();
        var count = atFace[0].Count;
        var isKnown = radiators.Length > 1 && radiators.All(radiator => radiator.Place is not null && radiator.Count == 1);
        if (!isKnown) return new(false, atFace, [.. radiators.Select(_ => new double[count])]);
        var heard = radiators.Select(_ => new Complex[count]).ToArray();
        var face = radiators.Select(_ => new Complex[count]).ToArray();
        for (var k = 0; k < count; k++)
        {
            var read = CreateVector.Dense(radiators.Length, i => atFace[i][k].Value);
            var pressures = CreateMatrix.DenseOfArray(Shares(radiators, atFace, k, speedOfSound)).Solve(read);
            for (var i = 0; i < radiators.Length; i++) (face[i][k], heard[i][k]) = (pressures[i], read[i] - pressures[i]);
        }
        return new(true, [.. atFace.Select((response, i) => response.Replaced(face[i], [.. response.Points().Select(point => point.NoisePowerRatio)]))],
            [.. heard.Select(values => values.Select(value => ModelUncertaintyRatio * value.Magnitude).ToArray())]);
    }

    /// <summary>What of radiator j's pressure at its face is in the reading of radiator i, after i's own correction: 1 of its own.</summary>
    private static Complex[,] Shares(Radiator[] radiators, Response[] atFace, int k, double speedOfSound)
    {
        var share = new Complex[radiators.Length, radiators.Length];
        var wave = 2 * Math.PI * atFace[0].Grid[k] / speedOfSound;
        for (var i = 0; i < radiators.Length; i++)
        {
            var measured = radiators[i].Response[k].Value;
            var correction = measured == Complex.Zero ? Complex.One : atFace[i][k].Value / measured;
            for (var j = 0; j < radiators.Length; j++)
            {
                if (i == j)
                {
                    share[i, j] = Complex.One;
                    continue;
                }
                var (one, other) = (radiators[i].Place!.Value, radiators[j].Place!.Value);
                var (x, y, z) = (one.FromLeftMetres - other.FromLeftMetres, one.FromBottomMetres - other.FromBottomMetres, radiators[i].DistanceMetres);
                var metres = Math.Max(Math.Sqrt(x * x + y * y + z * z), radiators[i].RadiusMetres + radiators[j].RadiusMetres);   // they do not overlap, whatever the places say
                share[i, j] = correction * Piston.FarRatio(radiators[j].RadiusMetres, metres) * Complex.FromPolarCoordinates(1, -wave * metres);
            }
        }
        return share;
    }
}
