// SPDX-License-Identifier: MIT
using System.Numerics;
using MathNet.Numerics;
using Sweepbook.Quantities;

namespace Sweepbook.Simulation;

/// <summary>A vented box: what its cone, its port and both together radiate, as digital filters that are also the truth.</summary>
/// <remarks>
/// The acoustical circuit: a pressure p through the driver's mass, stiffness and damping into the box, where the air's stiffness, in series with its
/// absorption, lies parallel to the mass of the air in the port. With s = jω, ωₛ and Q of the driver, ω_B and Q_A of box and port, α = V_as / V_B:
/// <code>
/// D(s) = (s² + s ωₛ/Q + ωₛ²)(s² + s ω_B/Q_A + ω_B²) + α ωₛ² s² (1 + s / (Q_A ω_B))
/// cone = s² (s² + s ω_B/Q_A + ω_B²) / D     port = −s² (s ω_B/Q_A + ω_B²) / D     sum = s⁴ / D
/// </code>
/// each the far pressure over that of the same driver on a wide wall well above tuning. Absorption is the only loss, because then cone and port are all that
/// radiates; a leak would be a third opening that nobody measures. Each s becomes 2 · rate · (z − 1) / (z + 1), in two second-order sections that share their
/// poles, so that cone and port add up to the sum exactly, and truth is read from the same sections.
/// Source: own derivation from the circuit; it is that of R. H. Small, "Vented-Box Loudspeaker Systems", JAES 21 (1973) (from memory). Checked by
/// fact sheet 7.9 without losses.
/// </remarks>
internal sealed class BoxModel
{
    private readonly int _sampleRateHz;
    private readonly Complex[] _poles;
    private readonly double _tuning, _damping;

    public BoxModel(PlannedBox plan, int sampleRateHz)
    {
        (Plan, _sampleRateHz, _tuning) = (plan, sampleRateHz, 2 * Math.PI * plan.TuningHz);
        _damping = _tuning / plan.AbsorptionQ;
        var (driver, friction, compliance) = (2 * Math.PI * plan.DriverHz, 2 * Math.PI * plan.DriverHz / plan.DriverQ, plan.DriverLitres / plan.VolumeLitres);
        var (d2, b2) = (driver * driver, _tuning * _tuning);
        double[] rising =
        [
            d2 * b2,
            d2 * _damping + friction * b2,
            d2 + b2 + friction * _damping + compliance * d2,
            friction + _damping + compliance * d2 / (plan.AbsorptionQ * _tuning),
            1,
        ];
        _poles = [.. FindRoots.Polynomial(Scaled(rising, _tuning)).Select(root => root * _tuning).OrderBy(root => Math.Abs(root.Imaginary)).ThenBy(root => root.Real).ThenBy(root => root.Imaginary)];
        GainRatio = Decibels.ToAmplitudeRatio(plan.GainDb);
    }

    public PlannedBox Plan { get; }

    public double GainRatio { get; }

    /// <summary>Far pressure of a part of the box.</summary>
    public RecursiveFilter Far(BoxPart part) => Filter(1, 0, 0, part);

    /// <summary>The same, integrated over time: proportional to the velocity of cone or air, and in seconds.</summary>
    public RecursiveFilter Velocity(BoxPart part) => Filter(0, 1, 0, part);

    private RecursiveFilter Filter(double a2, double a1, double a0, BoxPart part)
    {
        var (b2, b1, b0) = part switch
        {
            BoxPart.Cone => (1.0, _damping, _tuning * _tuning),
            BoxPart.Port => (0.0, -_damping, -_tuning * _tuning),
            _ => (1.0, 0.0, 0.0),
        };
        return RecursiveFilter.OfSections(_sampleRateHz, Section(a2, a1, a0, _poles[0], _poles[1]), Section(b2, b1, b0, _poles[2], _poles[3]));
    }

    /// <summary>(n2 s² + n1 s + n0) / ((s − p)(s − q)) through the bilinear transform.</summary>
    private Section Section(double n2, double n1, double n0, Complex p, Complex q)
    {
        var (sum, product, k) = (-(p + q).Real, (p * q).Real, 2.0 * _sampleRateHz);
        var a0 = k * k + sum * k + product;
        return new((n2 * k * k + n1 * k + n0) / a0, 2 * (n0 - n2 * k * k) / a0, (n2 * k * k - n1 * k + n0) / a0, 2 * (product - k * k) / a0, (k * k - sum * k + product) / a0);
    }

    /// <summary>The coefficients for s in units of the tuning, so that they are near 1.</summary>
    private static double[] Scaled(double[] rising, double unit) => [.. rising.Select((value, power) => value * Math.Pow(unit, power - 4))];
}
