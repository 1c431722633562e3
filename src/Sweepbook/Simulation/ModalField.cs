// SPDX-License-Identifier: MIT
using System.Numerics;
using System.Runtime.Intrinsics;
using Sweepbook.Quantities;
using Sweepbook.Rooms;

namespace Sweepbook.Simulation;

/// <summary>A mode as it is simulated: a two-pole resonator with this frequency, decay rate and weight.</summary>
internal readonly record struct DampedMode(PredictedMode Mode, double FrequencyHz, double DecayPerSecond, double Weight);

/// <summary>
/// Sound pressure as a sum of damped modes: h(t) = (4πc²/V) Σ ε ψ(source) ψ(seat) e^(−δ (t − d/c)) sin(2πf t) / (2πf), each mode a recursive resonator.
/// </summary>
/// <remarks>
/// The output is pressure in units of what the same source gives at 1 m in the open. ε is 2 for each direction with a half wave or more. Damping counts from
/// the direct arrival d/c, as it does for the image sources. Order 0,0,0, the uniform pressure, is a resonance at the leak frequency of the room.
/// Resonators sample the impulse response of the mode (impulse invariance): feed them band-limited signals only.
/// Weights fall by a smooth taper, 2^(−(f / taper)⁴): a sum that stops at once misses the stiffness of the modes left out and rings before the arrival;
/// tapered, it is the true response through that very low-pass.
/// Source: Green's function of the rigid rectangular enclosure as in P. M. Morse, "Vibration and Sound" (from memory; a test holds it against the
/// image sources, which are the same function in another form).
/// </remarks>
internal sealed class ModalField
{
    private const double TaperReachRatio = 1.9;   // 2^(−1.9⁴) is −78 dB
    private const int Lanes = 4;
    private const int Groups = 4;                 // so many recursions side by side keep the processor busy

    private readonly int _sampleRateHz;

    public ModalField(RectangularRoom room, DecayByFrequency decay, double leakHz, Position source, Position seat, double taperHz, int sampleRateHz)
    {
        _sampleRateHz = sampleRateHz;
        var arrivalSeconds = source.DistanceMetresTo(seat) / room.SpeedOfSoundMetresPerSecond;
        var scale = 4 * Math.PI * room.SpeedOfSoundMetresPerSecond * room.SpeedOfSoundMetresPerSecond / room.VolumeCubicMetres;
        DampedMode Damped(PredictedMode mode, double frequencyHz)
        {
            var rate = decay.RateAt(frequencyHz);
            var shapes = room.ShapeAt(mode, source) * room.ShapeAt(mode, seat);
            var taper = Math.Pow(2, -Math.Pow(frequencyHz / taperHz, 4));
            return new(mode, frequencyHz, rate, taper * scale * (1 << mode.Directions) * shapes * Math.Exp(rate * arrivalSeconds));
        }
        Modes = [Damped(default, leakHz), .. room.ModesBelow(TaperReachRatio * taperHz).Select(mode => Damped(mode, mode.FrequencyHz))];
    }

    public IReadOnlyList<DampedMode> Modes { get; }

    /// <summary>The pressure that a drive signal makes, from rest; sixteen modes at a time, summed in a fixed order.</summary>
    public double[] Apply(ReadOnlySpan<double> drive)
    {
        var sums = new Vector256<double>[drive.Length];
        for (var first = 0; first < Modes.Count; first += Lanes * Groups)
        {
            var (p, q, r, s) = (Load(first), Load(first + Lanes), Load(first + 2 * Lanes), Load(first + 3 * Lanes));
            Vector256<double> p1 = default, q1 = default, r1 = default, s1 = default, p2 = default, q2 = default, r2 = default, s2 = default;
            var before = Vector256<double>.Zero;
            for (var n = 0; n < sums.Length; n++)
            {
                var p0 = p.Forward * p1 - p.Back * p2 + p.Gain * before;
                var q0 = q.Forward * q1 - q.Back * q2 + q.Gain * before;
                var r0 = r.Forward * r1 - r.Back * r2 + r.Gain * before;
                var s0 = s.Forward * s1 - s.Back * s2 + s.Gain * before;
                sums[n] += p0 + q0 + (r0 + s0);
                (p2, q2, r2, s2) = (p1, q1, r1, s1);
                (p1, q1, r1, s1) = (p0, q0, r0, s0);
                before = Vector256.Create(drive[n]);
            }
        }
        var result = new double[drive.Length];
        for (var n = 0; n < result.Length; n++) result[n] = sums[n][0] + sums[n][1] + (sums[n][2] + sums[n][3]);
        return result;
    }

    public Complex ResponseAt(double frequencyHz)
    {
        var delay = Complex.FromPolarCoordinates(1, -2 * Math.PI * frequencyHz / _sampleRateHz);
        var sum = Complex.Zero;
        foreach (var mode in Modes)
        {
            var (gain, forward, back) = Coefficients(mode);
            sum += gain * delay / (1 - delay * (forward - delay * back));
        }
        return sum;
    }

    private (Vector256<double> Gain, Vector256<double> Forward, Vector256<double> Back) Load(int first)
    {
        Span<double> gain = stackalloc double[Lanes], forward = stackalloc double[Lanes], back = stackalloc double[Lanes];
        for (var lane = 0; lane < Lanes; lane++)
            (gain[lane], forward[lane], back[lane]) = first + lane < Modes.Count ? Coefficients(Modes[first + lane]) : (0, 0, 0);
        return (Vector256.Create<double>(gain), Vector256.Create<double>(forward), Vector256.Create<double>(back));
    }

    private (double Gain, double Forward, double Back) Coefficients(DampedMode mode)
    {
        var radius = Math.Exp(-mode.DecayPerSecond / _sampleRateHz);
        var (sine, cosine) = Math.SinCos(2 * Math.PI * mode.FrequencyHz / _sampleRateHz);
        return (mode.Weight * radius * sine / (2 * Math.PI * mode.FrequencyHz * _sampleRateHz), 2 * radius * cosine, radius * radius);
    }
}
