// SPDX-License-Identifier: MIT
using Sweepbook.Nearfield;
using Sweepbook.Quantities;

namespace Sweepbook.Notebook;

public sealed partial class Exercise
{
    /// <summary>By how many decibels is a port's pressure close up scaled before it is added to that of the cone? In decibels, within 0.06 dB.</summary>
    /// <param name="coneAreaSquareMetres">Area of the cone in m², above zero.</param>
    /// <param name="portAreaSquareMetres">Area of the port in m², above zero.</param>
    /// <returns>The exercise.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An area is not above zero and finite.</exception>
    /// <remarks>Misleads as the sum does: see <see cref="NearfieldSum"/>, which also names the source.</remarks>
    public static Exercise PortFactor(double coneAreaSquareMetres, double portAreaSquareMetres)
    {
        var areas = Positive(portAreaSquareMetres, nameof(portAreaSquareMetres), "m²") / Positive(coneAreaSquareMetres, nameof(coneAreaSquareMetres), "m²");
        return new("The scale of the port", Decibels.FromAmplitude(Math.Sqrt(areas)), AnswerUnit.Decibels, LevelDb,
            "Close to a piston the pressure is its volume velocity over its radius, times a constant that both share. What has to be multiplied with the pressure so that volume velocities are added? And how do radii follow from areas?",
            "It is the ratio of the two radii. A small port can be louder close up than the cone and still move less air.",
            new(Decibels.FromAmplitude(areas), "That is the ratio of the areas itself. Pressure close up already holds the area once, over the radius; the root of the ratio remains."),
            new(Decibels.FromAmplitude(Math.Sqrt(Math.Sqrt(areas))), "That is the root of the ratio of the diameters. The diameters themselves go with the root of the areas; one root is enough."),
            new(Decibels.FromAmplitude(1 + Math.Sqrt(areas)), "That is already the sum of two equal pressures with the right scale. Only the scale of the port is asked for."));
    }

    /// <summary>How much is lost because the microphone is not at the middle of the cone's face but some way in front of it? In decibels with its sign, within 0.06 dB.</summary>
    /// <param name="distanceMetres">Distance on the axis in metres, above zero.</param>
    /// <param name="radiusMetres">Effective radius of the cone in metres, above zero.</param>
    /// <returns>The exercise.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An argument is not above zero and finite.</exception>
    /// <remarks>Misleads in front of deep cones: see <see cref="Piston.DistanceRatio"/>, which also names the source.</remarks>
    public static Exercise LossWithDistance(double distanceMetres, double radiusMetres)
    {
        var over = Positive(distanceMetres, nameof(distanceMetres), "m") / Positive(radiusMetres, nameof(radiusMetres), "m");
        return new("The level in front of the cone over that at its face", Decibels.FromAmplitude(Piston.DistanceRatio(distanceMetres, radiusMetres)), AnswerUnit.Decibels, LevelDb,
            "With x, the distance over the effective radius, the ratio of the pressures is √(1 + x²) − x. A ratio of pressures becomes decibels with 20 lg.",
            "One decibel is lost at little more than a tenth of the radius, so that a centimetre counts in front of a small cone.",
            new(Decibels.FromAmplitude(1 / (1 + over)), "That takes the level to fall as in front of a point that lies one radius behind the face. A face is no point: use √(1 + x²) − x."),
            new(Decibels.FromAmplitude(Piston.DistanceRatio(distanceMetres, 2 * radiusMetres)), "The diameter went in as the radius."),
            new(Decibels.FromPower(Piston.DistanceRatio(distanceMetres, radiusMetres)), "The ratio is right, but it is one of pressures: 20 lg makes decibels of it, not 10 lg."),
            new(Decibels.FromAmplitude(Math.Sqrt(1 + over * over)), "Only the root was taken: x has to come off it."),
            new(Decibels.FromAmplitude(over), "That is the distance over the radius in decibels; it still has to go through √(1 + x²) − x."));
    }

    /// <summary>By how much is the level far in front of a box below the one close to its cone? In decibels with its sign, within 0.06 dB.</summary>
    /// <param name="radiusMetres">Effective radius of the cone in metres, above zero.</param>
    /// <param name="distanceMetres">Distance in metres, above zero.</param>
    /// <param name="space">Into what the box radiates.</param>
    /// <returns>The exercise.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An argument is not above zero and finite, or no such space exists.</exception>
    /// <remarks>Misleads in a room: see <see cref="NearfieldSum.FarField"/>, which also names the source.</remarks>
    public static Exercise FarFromNear(double radiusMetres, double distanceMetres, FieldSpace space)
    {
        if (!Enum.IsDefined(space)) throw new ArgumentOutOfRangeException(nameof(space), space, "Must be Half or Full.");
        var half = Piston.FarRatio(radiusMetres, distanceMetres);
        var (isFull, wanted) = (space == FieldSpace.Full, space == FieldSpace.Full ? half / 2 : half);
        return new("The level far away over that close up", Decibels.FromAmplitude(wanted), AnswerUnit.Decibels, LevelDb,
            "In front of an endless wall the pressure far away is that close up times a / (2 r): the effective radius over twice the distance. Into the whole space the same air spreads over twice as much. Then 20 lg.",
            "Turned round, it is how much louder the microphone close to the cone has it: mind its maximum, and your ears.",
            new(Decibels.FromAmplitude(isFull ? half : half / 2), isFull ? "That is for an endless wall. Into the whole space the pressure is half of that. (The diameter for the radius does the same.)" : "That is for the whole space; an endless wall keeps the sound on one side of it."),
            new(Decibels.FromAmplitude(2 * half), "That is the radius over the distance. The factor of two below the line is missing" + (isFull ? ", and the second one of the whole space." : ".")),
            new(Decibels.FromPower(wanted), "The ratio is right, but it is one of pressures: 20 lg makes decibels of it, not 10 lg."),
            new(Decibels.FromAmplitude(wanted * distanceMetres / radiusMetres), "That is without the radius over the distance: only the factors of two are in it."));
    }

    /// <summary>Which is the lowest frequency that fits once into the time before the first reflection from the floor? In hertz, within 1 %.</summary>
    /// <param name="heightMetres">Height of loudspeaker and microphone above the floor in metres, above zero.</param>
    /// <param name="distanceMetres">Between the two in metres, above zero.</param>
    /// <param name="temperatureCelsius">Temperature of the air in degrees Celsius.</param>
    /// <returns>The exercise.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A length is not above zero and finite, or the temperature outside that of <see cref="Air"/>.</exception>
    /// <remarks>Misleads where ceiling, wall or stand reflect earlier: see <see cref="FreeFieldSplice.GateResolvesHz"/>, which also names the source.</remarks>
    public static Exercise LowestOfGate(double heightMetres, double distanceMetres, double temperatureCelsius)
    {
        var speed = Air.SpeedOfSoundMetresPerSecond(temperatureCelsius);
        var wanted = FreeFieldSplice.GateResolvesHz(2 * Positive(heightMetres, nameof(heightMetres), "m"), distanceMetres, speed);
        var bent = Math.Sqrt(4 * heightMetres * heightMetres + distanceMetres * distanceMetres);
        return new("The lowest frequency of the gate", wanted, AnswerUnit.Hertz, CalculatedShare,
            "Draw the loudspeaker's mirror image as far below the floor as it stands above. How much longer is the way from there than the direct one, how much time is that, and which frequency has this time as its period?",
            "Believe the gated curve from about twice that frequency. Below, the near field has to help, which needs no gate at all.",
            new(FreeFieldSplice.GateResolvesHz(heightMetres, distanceMetres, speed), "The way down to the floor was counted once. The mirror image lies as far below the floor as the loudspeaker above, so the height counts twice."),
            new(speed / bent, "That is the whole way by the floor. The direct sound needs time, too: only what the other way is longer counts."),
            new(2 * wanted, "Two periods were fitted into the time, as for a level to be believed. One is asked for."),
            new(wanted / 2, "Half a period was fitted into the time. One whole period is asked for."),
            new(1 / wanted, "That is the time in seconds. Its reciprocal is the frequency."));
    }

    private static double Positive(double value, string name, string unit) =>
        value > 0 && double.IsFinite(value) ? value : throw new ArgumentOutOfRangeException(name, value, $"Must be in (0, ∞) {unit}.");
}
