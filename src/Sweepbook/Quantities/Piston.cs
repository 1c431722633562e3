// SPDX-License-Identifier: MIT
namespace Sweepbook.Quantities;

/// <summary>A cone in a closed box on the floor, small beside the wavelength: what it has to move for a level.</summary>
/// <remarks>
/// Half space, no other surface: p = ρ (2πf)² S x / (2πr). A room adds to it in the bass, so a cone moves less there for the same level at a seat.
/// Misleads for a vented box: near its tuning the port does the work, and below it port and cone undo each other and the cone moves freely.
/// Source: derived from the volume velocity of a small source in a wall; the same as D. B. Keele, J. Audio Eng. Soc. 22 (1974) 154–162, for the distance (fact sheet 7.1).
/// </remarks>
public static partial class Piston
{
    private const double AirDensity = 1.21;              // kg/m³, the value that goes with 343 m/s (fact sheet 7)
    private const double ReferencePascals = 20e-6;

    /// <summary>Peak excursion for a tone of a level: x = √2 · p · r / (2π · ρ · f² · S), p the root mean square of the pressure.</summary>
    /// <param name="levelDb">Level of the tone in dB re 20 µPa.</param>
    /// <param name="frequencyHz">Frequency in hertz, above zero.</param>
    /// <param name="areaSquareMetres">Area that moves, in m², above zero; 0.033 for most cones called 25 cm.</param>
    /// <param name="distanceMetres">Where the level is wanted, in metres above zero; 1 where not said.</param>
    /// <returns>Millimetres, from rest to one end; four times as much for each octave downwards.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The level is not finite, or another argument not above zero and finite.</exception>
    /// <remarks>See the type for the range and when it misleads, and for the source.</remarks>
    public static double PeakExcursionMm(double levelDb, double frequencyHz, double areaSquareMetres, double distanceMetres = 1)
    {
        if (!double.IsFinite(levelDb)) throw new ArgumentOutOfRangeException(nameof(levelDb), levelDb, "Must be a finite number of dB.");
        var pressure = ReferencePascals * Decibels.ToAmplitudeRatio(levelDb);
        var metres = Math.Sqrt(2) * pressure * Positive(distanceMetres, nameof(distanceMetres), "m")
            / (2 * Math.PI * AirDensity * Positive(frequencyHz, nameof(frequencyHz), "Hz") * frequencyHz * Positive(areaSquareMetres, nameof(areaSquareMetres), "m²"));
        return 1000 * metres;
    }

    /// <summary>The level close to the middle of a cone that makes a level at 1 m: L + 20 lg(2 · 1 m / a) + 20 lg(√(1 + (d/a)²) − d/a), a = √(S/π).</summary>
    /// <param name="levelDb">Level at 1 m in half space, in dB re anything: the result has the same reference.</param>
    /// <param name="areaSquareMetres">Area that moves, in m², above zero.</param>
    /// <param name="distanceMetres">Distance from the middle of the cone on its axis, in metres, zero or more.</param>
    /// <returns>Decibels; 26 dB more than at 1 m for a radius of 0.1 m and no distance.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The level is not finite, the area not above zero and finite, or the distance negative or not finite.</exception>
    /// <remarks>
    /// For the bass only, where the circumference is shorter than the wavelength: above that the level close up is lower (fact sheet 7.4). In a room the level at 1 m holds the room's part too, and the
    /// result is then some decibels too high: on the safe side. Source: see the type; fact sheet 7.1 and 7.2.
    /// </remarks>
    public static double CloseLevelDb(double levelDb, double areaSquareMetres, double distanceMetres = 0)
    {
        if (!double.IsFinite(levelDb)) throw new ArgumentOutOfRangeException(nameof(levelDb), levelDb, "Must be a finite number of dB.");
        if (!(distanceMetres >= 0 && double.IsFinite(distanceMetres))) throw new ArgumentOutOfRangeException(nameof(distanceMetres), distanceMetres, "Must be in [0, ∞) m.");
        var radius = Math.Sqrt(Positive(areaSquareMetres, nameof(areaSquareMetres), "m²") / Math.PI);
        return levelDb + Decibels.FromAmplitude(DistanceRatio(distanceMetres, radius) / FarRatio(radius, 1));
    }

    private static double Positive(double value, string name, string unit) =>
        value > 0 && double.IsFinite(value) ? value : throw new ArgumentOutOfRangeException(name, value, $"Must be in (0, ∞) {unit}.");
}
