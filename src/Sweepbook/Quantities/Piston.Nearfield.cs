// SPDX-License-Identifier: MIT
using System.Numerics;

namespace Sweepbook.Quantities;

/// <content>What is heard close to a rigid piston in a wall, and what of it arrives far away.</content>
public static partial class Piston
{
    /// <summary>Pressure on the axis at a distance over that at the middle of the piston's face, at low frequencies: √(1 + (r/a)²) − r/a.</summary>
    /// <param name="distanceMetres">Distance r from the middle of the face, in metres, in [0, ∞).</param>
    /// <param name="radiusMetres">Effective radius a of the piston in metres, above zero.</param>
    /// <returns>A ratio of amplitudes in (0, 1]; one decibel is lost at r = 0.115 a.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An argument lies outside its interval.</exception>
    /// <remarks>
    /// Holds while ka is small; <see cref="OnAxisRatio"/> holds at any frequency. Misleads in front of a deep cone or a dust cap, where the face has no one distance.
    /// Source: derived from the field of a rigid piston on its axis; agrees with D. B. Keele, J. Audio Eng. Soc. 22 (1974) 154–162 (fact sheet 7.2, 7.3).
    /// </remarks>
    public static double DistanceRatio(double distanceMetres, double radiusMetres)
    {
        var over = NotNegative(distanceMetres, nameof(distanceMetres)) / Positive(radiusMetres, nameof(radiusMetres), "m");
        return 1 / (Math.Sqrt(1 + over * over) + over);   // the same, without taking two large numbers from each other
    }

    /// <summary>Pressure on the axis over that at the middle of the face if the sound knew no delay: (e^{−jkr} − e^{−jk√(r² + a²)}) / (jka).</summary>
    /// <param name="frequencyHz">Frequency in hertz, in [0, ∞).</param>
    /// <param name="distanceMetres">Distance r from the middle of the face, in metres, in [0, ∞).</param>
    /// <param name="radiusMetres">Effective radius a in metres, above zero.</param>
    /// <param name="speedOfSoundMetresPerSecond">Speed of sound, above zero.</param>
    /// <returns>A complex ratio: its magnitude holds the loss with distance and that with frequency, its phase the way the sound took, on average (r + √(r² + a²)) / 2.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An argument lies outside its interval.</exception>
    /// <remarks>
    /// Misleads above the first bending of a real cone, and where the box ends a few radii away. Source: L. E. Kinsler et al., "Fundamentals of Acoustics", 4th ed. 2000,
    /// section 7.4 (from memory); on the face it is sin(ka/2) / (ka/2), fact sheet 7.4.
    /// </remarks>
    public static Complex OnAxisRatio(double frequencyHz, double distanceMetres, double radiusMetres, double speedOfSoundMetresPerSecond)
    {
        if (!(frequencyHz >= 0 && double.IsFinite(frequencyHz))) throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, "Must be in [0, ∞) Hz.");
        var k = 2 * Math.PI * frequencyHz / Positive(speedOfSoundMetresPerSecond, nameof(speedOfSoundMetresPerSecond), "m/s");
        var lessPath = Positive(radiusMetres, nameof(radiusMetres), "m") * DistanceRatio(distanceMetres, radiusMetres);   // √(r² + a²) − r
        var half = k * lessPath / 2;
        return lessPath / radiusMetres * (half == 0 ? 1 : Math.Sin(half) / half) * Complex.FromPolarCoordinates(1, -(k * distanceMetres + half));
    }

    /// <summary>Pressure far in front of a piston in a wall over that close to its face, at low frequencies: a / (2r). Into the whole space it is half of that.</summary>
    /// <param name="radiusMetres">Effective radius a in metres, above zero.</param>
    /// <param name="distanceMetres">Distance r in metres, above zero; some radii at least.</param>
    /// <returns>A ratio of amplitudes.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An argument is not above zero or not finite.</exception>
    /// <remarks>
    /// Misleads in a room, which adds its own, and nearer than some three of the box's largest dimension. Source: D. B. Keele, J. Audio Eng. Soc. 22 (1974) 154–162
    /// (fact sheet 7.1, equation from memory, agrees with piston theory).
    /// </remarks>
    public static double FarRatio(double radiusMetres, double distanceMetres) =>
        Positive(radiusMetres, nameof(radiusMetres), "m") / (2 * Positive(distanceMetres, nameof(distanceMetres), "m"));

    /// <summary>The frequency at which k times the radius has a value: ka · c / (2πa).</summary>
    /// <param name="kaRatio">The value wanted, above zero; at 1.643 the pressure at the face reads 1 dB too low.</param>
    /// <param name="radiusMetres">Effective radius a in metres, above zero.</param>
    /// <param name="speedOfSoundMetresPerSecond">Speed of sound, above zero.</param>
    /// <returns>Hertz.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An argument is not above zero or not finite.</exception>
    /// <remarks>Misleads where the nominal size of a cone stands for its effective one, by a fifth or so. Source: definition of k (fact sheet 7.5).</remarks>
    public static double FrequencyHzOf(double kaRatio, double radiusMetres, double speedOfSoundMetresPerSecond) =>
        Positive(kaRatio, nameof(kaRatio), "") * Positive(speedOfSoundMetresPerSecond, nameof(speedOfSoundMetresPerSecond), "m/s") / (2 * Math.PI * Positive(radiusMetres, nameof(radiusMetres), "m"));

    /// <summary>ka at which the pressure at the middle of the face reads 1 dB below what the far field would say (fact sheet 7.4).</summary>
    public const double OneDecibelKaRatio = 1.643054;

    private static double NotNegative(double distanceMetres, string name) =>
        distanceMetres >= 0 && double.IsFinite(distanceMetres) ? distanceMetres : throw new ArgumentOutOfRangeException(name, distanceMetres, "Must be in [0, ∞) m.");
}
