// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Nearfield;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;

namespace Sweepbook.Tests.Nearfield;

/// <summary>
/// A vented box in closed form, derived here from its parameters: with D = (s²Ts² + sTs/Qts + 1)(s²Tb² + sTb/Qa + 1) + α(1 + sTb/Qa) s²Tb², the cone's pressure is
/// s²Ts² (s²Tb² + sTb/Qa + 1) / D, the port's share −s²Ts² (1 + sTb/Qa) / D, and their sum the fourth-order high-pass s⁴Ts²Tb² / D (A. N. Thiele, R. H. Small, form from memory).
/// A passive radiator adds δ, the stiffness of its suspension over that of the air; without port the sum is s²Ts² / (s²Ts² + sTs/Qts + 1 + α).
/// </summary>
internal sealed record VentedBox(double ResonanceHz = 32, double TotalQ = 0.45, double Compliance = 1.1, double TuningHz = 35, double LossQ = 20, double Delta = 0)
{
    internal const double ConeArea = 0.0215, PortArea = 0.00384845, Sound = 343.2;   // fact sheet 7.8: a port of 7 cm
    internal static readonly LogGrid Grid = LogGrid.Between(24, 9, 1200);
    internal static readonly TimeGroup Loopback = new("loopback");

    internal Complex Cone(double frequencyHz) => Parts(frequencyHz).Cone;

    internal Complex Port(double frequencyHz) => Parts(frequencyHz).Port;

    internal Complex Sum(double frequencyHz) => Parts(frequencyHz).Cone + Parts(frequencyHz).Port;

    private (Complex Cone, Complex Port) Parts(double frequencyHz)
    {
        var (driver, box) = (Complex.ImaginaryOne * frequencyHz / ResonanceHz, Complex.ImaginaryOne * frequencyHz / TuningHz);
        var air = 1 + box / LossQ;
        var own = driver * driver + driver / TotalQ + 1;
        if (double.IsPositiveInfinity(Delta)) return (driver * driver / (own + Compliance * air), 0);   // sealed: nothing passes
        var plug = box * box + Delta;
        var cone = driver * driver * (plug + air) / (own * (plug + air) + Compliance * air * plug);
        return (cone, -cone * air / (plug + air));
    }

    /// <summary>Pressure close to a piston of an area whose share of the sum is given, by the closed form on the axis, with noise; its own distance may differ from the stated one.</summary>
    internal static Radiator Taken(string name, RadiatorKind kind, Func<double, Complex> share, double area, double distance, double statedArea = 0, double statedDistance = -1, double noise = 0, Random? random = null, TimeGroup? group = null, int count = 1, LogGrid? grid = null, string? microphone = null, bool isMicrophonePhaseOut = false)
    {
        grid ??= Grid;
        var radius = Math.Sqrt(area / Math.PI);
        var values = grid.ToArray().Select(frequencyHz =>
        {
            var k = 2 * Math.PI * frequencyHz / Sound;
            var (near, edge) = (Complex.Exp(-Complex.ImaginaryOne * k * distance), Complex.Exp(-Complex.ImaginaryOne * k * Math.Sqrt(distance * distance + radius * radius)));
            var clean = share(frequencyHz) * Math.Sqrt(ConeArea / area) * (near - edge) / (Complex.ImaginaryOne * k * radius);
            return random is null ? clean : clean + noise / Math.Sqrt(2) * new Complex(Gauss(random), Gauss(random));
        }).ToArray();
        var mask = Limits.From(grid.ToArray(), 0, default);
        var phase = noise == 0 ? mask : Limits.AtLeast(grid.ToArray(), [.. values.Select(value => 20 * Math.Log10(value.Magnitude / noise))], 20, Doubt.Noise, "noise within 20 dB");   // as a study doubts it
        var response = new Response(grid, values, [.. values.Select(value => value.Magnitude * value.Magnitude)], [.. values.Select(_ => noise * noise)], new bool[grid.Count], mask, phase, group ?? Loopback, LevelReference.Loopback)
        {
            Microphone = microphone,
            MicrophonePhaseHz = isMicrophonePhaseOut ? (10, 1000) : null,
        };
        return new(name, kind, response, statedArea > 0 ? statedArea : area, statedDistance >= 0 ? statedDistance : distance, count);
    }

    internal NearfieldSum Measured(double noise = 0, Random? random = null) => NearfieldSum.Of(
        [Taken("cone", RadiatorKind.Cone, Cone, ConeArea, 0.008, noise: noise, random: random), Taken("port", RadiatorKind.Port, Port, PortArea, 0.003, noise: noise, random: random)], default, Sound);

    internal static double Gauss(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
