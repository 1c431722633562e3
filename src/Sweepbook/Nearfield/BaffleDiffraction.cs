// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;

namespace Sweepbook.Nearfield;

/// <summary>What the front of a box does to the sound on its axis: from full space at low frequencies to half space at high ones, by way of its edges.</summary>
/// <remarks>
/// Each direction along the front, the sound runs to the edge and sets off from there again, reversed and half as strong: on the axis
/// 1 − ½ · mean over all directions of A · e^{−jk(R + √(R² + r²) − r)}, R the way to the edge, A = r / √(R² + r²). For a round front with the source in its middle that is
/// 1 − ½ · e^{−jkR} far away. A cone is the mean over points of its face. Low down it says ½ (−6.02 dB), high up it swings round 1 (0 dB).
/// Misleads off the axis; for its ripple, since the waves that pass round the back or from edge to edge are left out (some 1 dB where the box is a wavelength wide); for rounded
/// edges, which ripple less; above ka = 2, where a cone beams and hardly lights the edges; and on stands, floors and against walls, which have no full space at all.
/// Source: J. Vanderkooy, "A Simple Theory of Cabinet Edge Diffraction", J. Audio Eng. Soc. 39 (1991) 923–933, from memory; the mean over directions derived anew.
/// The rule of thumb 115 / width for −3 dB (fact sheet 7.11) is an estimate only.
/// </remarks>
public sealed class BaffleDiffraction
{
    private const int Directions = 720;
    private const int Rings = 4;
    private const double BinMetres = 0.0005;   // of path: 1° at 2 kHz, and each path is shared between two bins
    private readonly double[] _share;
    private readonly double _speedOfSound;

    /// <summary>The edges of a rectangular front.</summary>
    /// <param name="widthMetres">Width of the front in metres, above zero.</param>
    /// <param name="heightMetres">Height of the front in metres, above zero.</param>
    /// <param name="fromLeftMetres">Centre of the cone from the left edge, in (0, width).</param>
    /// <param name="fromBottomMetres">Centre of the cone from the lower edge, in (0, height).</param>
    /// <param name="radiusMetres">Effective radius of the cone in metres; 0 for a point. It must lie on the front.</param>
    /// <param name="distanceMetres">Distance of the microphone on the axis in metres, above zero; ∞ for far away.</param>
    /// <param name="speedOfSoundMetresPerSecond">Speed of sound, above zero.</param>
    /// <exception cref="ArgumentException">A value lies outside its interval, or the cone does not fit on the front.</exception>
    public BaffleDiffraction(double widthMetres, double heightMetres, double fromLeftMetres, double fromBottomMetres, double radiusMetres, double distanceMetres, double speedOfSoundMetresPerSecond)
    {
        RequirePositive(widthMetres, nameof(widthMetres), "m");
        RequirePositive(heightMetres, nameof(heightMetres), "m");
        RequirePositive(speedOfSoundMetresPerSecond, nameof(speedOfSoundMetresPerSecond), "m/s");
        if (!(distanceMetres > 0)) throw new ArgumentOutOfRangeException(nameof(distanceMetres), distanceMetres, "Must be in (0, ∞] m.");
        if (!(fromLeftMetres > 0 && fromLeftMetres < widthMetres)) throw new ArgumentOutOfRangeException(nameof(fromLeftMetres), fromLeftMetres, FormattableString.Invariant($"Must be in (0, {widthMetres}) m, on the front."));
        if (!(fromBottomMetres > 0 && fromBottomMetres < heightMetres)) throw new ArgumentOutOfRangeException(nameof(fromBottomMetres), fromBottomMetres, FormattableString.Invariant($"Must be in (0, {heightMetres}) m, on the front."));
        var room = Math.Min(Math.Min(fromLeftMetres, widthMetres - fromLeftMetres), Math.Min(fromBottomMetres, heightMetres - fromBottomMetres));
        if (!(radiusMetres >= 0 && radiusMetres <= room + 1e-9))
            throw new ArgumentOutOfRangeException(nameof(radiusMetres), radiusMetres, FormattableString.Invariant($"Must be in [0, {room}] m: at that place the nearest edge lies {room} m from the centre, and the cone must lie on the front."));
        var longest = Math.Sqrt(widthMetres * widthMetres + heightMetres * heightMetres);
        (_speedOfSound, _share) = (speedOfSoundMetresPerSecond, Shares(radiusMetres, longest, distanceMetres,
            (x, y, cosine, sine) => ToEdge(widthMetres, heightMetres, fromLeftMetres + x, fromBottomMetres + y, cosine, sine)));
    }

    private BaffleDiffraction(double[] share, double speedOfSound) => (_share, _speedOfSound) = (share, speedOfSound);

    /// <summary>The edge of a round front with the cone in its middle.</summary>
    /// <param name="frontRadiusMetres">Radius of the front in metres, above zero.</param>
    /// <param name="radiusMetres">Effective radius of the cone in metres; 0 for a point.</param>
    /// <param name="distanceMetres">Distance of the microphone on the axis in metres, above zero; ∞ for far away.</param>
    /// <param name="speedOfSoundMetresPerSecond">Speed of sound, above zero.</param>
    /// <returns>The edge; it ripples more than any other front, because every way to it is as long.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A value lies outside its interval.</exception>
    /// <remarks>See the type.</remarks>
    public static BaffleDiffraction OfRoundFront(double frontRadiusMetres, double radiusMetres, double distanceMetres, double speedOfSoundMetresPerSecond)
    {
        RequirePositive(frontRadiusMetres, nameof(frontRadiusMetres), "m");
        RequirePositive(speedOfSoundMetresPerSecond, nameof(speedOfSoundMetresPerSecond), "m/s");
        if (!(distanceMetres > 0)) throw new ArgumentOutOfRangeException(nameof(distanceMetres), distanceMetres, "Must be in (0, ∞] m.");
        if (!(radiusMetres >= 0 && radiusMetres <= frontRadiusMetres)) throw new ArgumentOutOfRangeException(nameof(radiusMetres), radiusMetres, FormattableString.Invariant($"Must be in [0, {frontRadiusMetres}] m, on the front."));
        return new(Shares(radiusMetres, 2 * frontRadiusMetres, distanceMetres, (x, y, cosine, sine) =>
        {
            var (along, square) = (x * cosine + y * sine, frontRadiusMetres * frontRadiusMetres - x * x - y * y);
            return Math.Sqrt(along * along + square) - along;
        }), speedOfSoundMetresPerSecond);
    }

    /// <summary>The factor on what the same source would radiate in an endless front.</summary>
    /// <param name="frequencyHz">Frequency in hertz, in [0, ∞).</param>
    /// <returns>A complex ratio: ½ at 0 Hz far away, round 1 at high frequencies.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The frequency is negative, infinite or NaN.</exception>
    /// <remarks>See the type. Paths are rounded so that the phase is right to 0.1° up to 2 kHz.</remarks>
    public Complex At(double frequencyHz)
    {
        if (!(frequencyHz >= 0 && double.IsFinite(frequencyHz))) throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, "Must be in [0, ∞) Hz.");
        var turn = 2 * Math.PI * frequencyHz / _speedOfSound * BinMetres;
        var edges = Complex.Zero;
        for (var n = 0; n < _share.Length; n++) if (_share[n] != 0) edges += _share[n] * Complex.FromPolarCoordinates(1, -turn * n);
        return 1 - edges / 2;
    }

    /// <summary>Level of <see cref="At"/> in decibels: −6.02 far away and low down, round 0 high up.</summary>
    /// <param name="frequencyHz">Frequency in hertz, in [0, ∞).</param>
    /// <returns>Decibels over half space.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The frequency is negative, infinite or NaN.</exception>
    /// <remarks>See the type.</remarks>
    public double LevelDbAt(double frequencyHz) => Decibels.FromAmplitude(At(frequencyHz).Magnitude);

    /// <summary>How much of the sound goes by paths of each length, in bins.</summary>
    private static double[] Shares(double radius, double longest, double distance, Func<double, double, double, double, double> toEdge)
    {
        var share = new double[(int)(2 * longest / BinMetres) + 3];
        foreach (var (x, y, weight) in Face(radius))
            for (var n = 0; n < Directions; n++)
            {
                var (sine, cosine) = Math.SinCos(2 * Math.PI * (n + 0.5) / Directions);
                var edge = toEdge(x, y, cosine, sine);
                var (later, strength) = OverTheEdge(edge, x * x + y * y, Square(x + edge * cosine) + Square(y + edge * sine), distance);
                var bin = later / BinMetres;
                var whole = (int)bin;
                share[whole] += weight / Directions * strength * (1 - (bin - whole));
                share[whole + 1] += weight / Directions * strength * (bin - whole);
            }
        return share;
    }

    /// <summary>How much longer the way over the edge is than the straight one, and how much weaker its last part makes it.</summary>
    private static (double LaterMetres, double Strength) OverTheEdge(double edge, double squareOfPoint, double squareOfEdge, double distance)
    {
        if (double.IsInfinity(distance)) return (edge, 1);
        var (direct, bent) = (Math.Sqrt(distance * distance + squareOfPoint), Math.Sqrt(distance * distance + squareOfEdge));
        return (Math.Max(0, edge + bent - direct), direct / bent);
    }

    private static double Square(double value) => value * value;

    private static double ToEdge(double width, double height, double x, double y, double cosine, double sine)
    {
        var across = cosine > 0 ? (width - x) / cosine : cosine < 0 ? -x / cosine : double.PositiveInfinity;
        var along = sine > 0 ? (height - y) / sine : sine < 0 ? -y / sine : double.PositiveInfinity;
        return Math.Max(0, Math.Min(across, along));
    }

    /// <summary>Points of equal share on a disc: rings of equal area, each with as many points as it is far out.</summary>
    private static IEnumerable<(double X, double Y, double Weight)> Face(double radius)
    {
        if (radius == 0) return [(0, 0, 1)];
        return from ring in Enumerable.Range(0, Rings)
               let count = 6 * (ring + 1)
               from n in Enumerable.Range(0, count)
               let angle = 2 * Math.PI * (n + 0.5) / count
               let out_ = radius * Math.Sqrt((ring + 0.5) / Rings)
               select (out_ * Math.Cos(angle), out_ * Math.Sin(angle), 1.0 / (Rings * count));
    }

    private static void RequirePositive(double value, string name, string unit)
    {
        if (!(value > 0 && double.IsFinite(value))) throw new ArgumentOutOfRangeException(name, value, $"Must be in (0, ∞) {unit}.");
    }
}
