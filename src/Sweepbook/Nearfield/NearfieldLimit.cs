// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Nearfield;

/// <summary>Up to where pressure close to cones and ports tells what arrives far away.</summary>
/// <param name="FrequencyHz">The limit in hertz.</param>
/// <param name="Reason">Why, in words with numbers.</param>
/// <remarks>
/// Two laws: at the middle of a piston the pressure reads 1 dB low at ka = 1.643 (fact sheet 7.4), and the box's edges change the far field by 1 dB once the
/// wavelength falls to three of the box's largest dimension (fact sheet 7.6: C. J. Struck, S. F. Temme, J. Audio Eng. Soc. 42 (1994), as transcribed). The first is
/// corrected for a rigid piston, the second by <see cref="BaffleDiffraction"/>; beyond the limit both corrections exceed 1 dB and lean on their models.
/// </remarks>
public readonly record struct NearfieldLimit(double FrequencyHz, string Reason)
{
    private const double SidesInAWave = 3;

    /// <summary>The limit of cones alone, which holds also where the box's edges are reckoned with.</summary>
    /// <param name="radiators">Cones, ports and passive radiators; one or more.</param>
    /// <param name="speedOfSoundMetresPerSecond">Speed of sound, above zero.</param>
    /// <returns>The limit of the widest of them.</returns>
    /// <exception cref="ArgumentException">There is none.</exception>
    /// <remarks>See the type.</remarks>
    internal static NearfieldLimit OfCones(IReadOnlyList<Radiator> radiators, double speedOfSoundMetresPerSecond)
    {
        ArgumentNullException.ThrowIfNull(radiators);
        var widest = radiators.MaxBy(radiator => radiator.RadiusMetres) ?? throw new ArgumentException("Got no radiator; at least 1 is needed.", nameof(radiators));
        var limitHz = Piston.FrequencyHzOf(Piston.OneDecibelKaRatio, widest.RadiusMetres, speedOfSoundMetresPerSecond);
        return new(limitHz, FormattableString.Invariant($"above {limitHz:0} Hz the pressure close to {widest.Name} (effective diameter {2000 * widest.RadiusMetres:0} mm) and the far field differ by more than 1 dB"));
    }

    /// <summary>The lower of the limits of cones and box.</summary>
    /// <param name="radiators">Cones, ports and passive radiators; one or more.</param>
    /// <param name="box">The outside of the box; the default where it is not known, and then the cones alone count.</param>
    /// <param name="speedOfSoundMetresPerSecond">Speed of sound, above zero.</param>
    /// <returns>The limit with the reason that sets it.</returns>
    /// <exception cref="ArgumentException">There is no radiator.</exception>
    /// <remarks>See the type.</remarks>
    internal static NearfieldLimit Of(IReadOnlyList<Radiator> radiators, BoxSize box, double speedOfSoundMetresPerSecond)
    {
        var cones = OfCones(radiators, speedOfSoundMetresPerSecond);
        if (!(box.LargestMetres > 0)) return cones;
        var limitHz = speedOfSoundMetresPerSecond / (SidesInAWave * box.LargestMetres);
        return limitHz >= cones.FrequencyHz ? cones
            : new(limitHz, FormattableString.Invariant($"above {limitHz:0} Hz the wavelength is less than three times the box's largest side ({box.LargestMetres:0.##} m), and its edges shape the far field by more than 1 dB"));
    }
}
