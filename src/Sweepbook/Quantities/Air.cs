// SPDX-License-Identifier: MIT
namespace Sweepbook.Quantities;

/// <summary>Properties of the air in the room.</summary>
public static class Air
{
    /// <summary>The temperature assumed where a survey states none, in degrees Celsius.</summary>
    public const double DefaultTemperatureCelsius = 20;

    /// <summary>c = 331.3 · √(1 + θ / 273.15): the speed of sound in dry air.</summary>
    /// <param name="temperatureCelsius">Air temperature in degrees Celsius, in (−273.15, ∞); rooms are near 20.</param>
    /// <returns>Metres per second.</returns>
    /// <exception cref="ArgumentOutOfRangeException">At or below absolute zero, or NaN.</exception>
    /// <remarks>
    /// Ignores humidity, which adds up to about 0.4 % in a warm damp room: a distance of 4 m may read 15 mm off.
    /// Source: ideal-gas relation with 331.3 m/s at 0 °C (fact sheet 14.1, confirmed there in a second transcription).
    /// </remarks>
    public static double SpeedOfSoundMetresPerSecond(double temperatureCelsius = DefaultTemperatureCelsius) =>
        temperatureCelsius > -273.15 && double.IsFinite(temperatureCelsius)
            ? 331.3 * Math.Sqrt(1 + temperatureCelsius / 273.15)
            : throw new ArgumentOutOfRangeException(nameof(temperatureCelsius), temperatureCelsius, "Must be in (−273.15, ∞) °C.");
}
