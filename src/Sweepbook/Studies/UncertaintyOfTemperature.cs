// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>By how much a level changes when the air is up to 1 °C warmer or colder: standard uncertainty in decibels.</summary>
/// <remarks>
/// In a room everything that sound travel decides moves along the frequency axis with the speed of sound, c ∝ √T: 0.17 % per degree at 20 °C. The
/// level at a fixed frequency changes by its own slope times that shift, over √3 for a degree as limit. A model: it also moves the source's own slopes,
/// which stay in truth, so a crossover's slope reads too uncertain by a few hundredths of a decibel. Left out (zero) in near and free field.
/// Source: ideal gas (fact sheet 14.1); JCGM 100:2008 (GUM) 4.3.7 and 5.1.
/// </remarks>
internal static class UncertaintyOfTemperature
{
    internal const double OffsetCelsius = 1;
    private const double AbsoluteZeroCelsius = -273.15;
    private const double LimitsToStandard = 1.7320508075688772;   // √3

    internal static double[] StandardDb(SoundField field, double[] levelsDb, LogGrid grid, double temperatureCelsius)
    {
        var standard = new double[levelsDb.Length];
        if (field != SoundField.Room) return standard;
        var shiftOctaves = 0.5 * OffsetCelsius / (temperatureCelsius - AbsoluteZeroCelsius) / Math.Log(2);
        for (var k = 0; k < standard.Length; k++)
        {
            var (below, above) = (Math.Max(0, k - 1), Math.Min(standard.Length - 1, k + 1));
            var slopeDbPerOctave = below == above ? 0 : (levelsDb[above] - levelsDb[below]) * grid.PointsPerOctave / (above - below);
            standard[k] = Math.Abs(slopeDbPerOctave) * shiftOctaves / LimitsToStandard;
        }
        return standard;
    }
}
