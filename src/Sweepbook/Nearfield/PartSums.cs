// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;

namespace Sweepbook.Nearfield;

/// <summary>What the cones with motors radiate together, and what the parts do that the air in the box drives.</summary>
internal sealed class PartSums(Radiator[] radiators, Response[] scaled)
{
    internal LogGrid Grid => scaled[0].Grid;

    internal bool HasDriven => Array.Exists(radiators, radiator => radiator.Kind != RadiatorKind.Cone);

    /// <summary>A port has no spring of its own: the law of the plain vented box holds.</summary>
    internal bool IsPlainVented => HasDriven && Array.TrueForAll(radiators, radiator => radiator.Kind != RadiatorKind.PassiveRadiator);

    /// <summary>The cones with motors at a grid point.</summary>
    internal Complex Motor(int k) => Total(k, true);

    /// <summary>Ports and passive radiators at a grid point; zero where there is none.</summary>
    internal Complex Driven(int k) => Total(k, false);

    internal double NoisePower(int k, bool isMotor)
    {
        var sum = 0.0;
        for (var i = 0; i < scaled.Length; i++) if (radiators[i].Kind == RadiatorKind.Cone == isMotor) sum += scaled[i][k].NoisePowerRatio;
        return sum;
    }

    /// <summary>True where nothing but noise keeps a phase from being believed.</summary>
    internal bool HasPhase(int k) => Array.TrueForAll(scaled, part => part.PhaseTrust.ReasonAt(k).Doubt is Doubt.None or Doubt.Noise);

    internal bool IsPhaseTrusted(int k) => Array.TrueForAll(scaled, part => part.PhaseTrust[k]);

    private Complex Total(int k, bool isMotor)
    {
        var sum = Complex.Zero;
        for (var i = 0; i < scaled.Length; i++) if (radiators[i].Kind == RadiatorKind.Cone == isMotor) sum += scaled[i][k].Value;
        return sum;
    }
}
