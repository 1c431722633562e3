// SPDX-License-Identifier: MIT
using Sweepbook.Microphones;
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Tests.Microphones;

/// <summary>A microphone of which everything is good; each test spoils one thing.</summary>
internal static class RangeScene
{
    internal static readonly LogGrid Grid = LogGrid.Between(96, 1, 100_000);
    internal static readonly StatedRange Calibrated = new() { CalibrationFromHz = 5, CalibrationToHz = 20_000, CalibrationStandardDb = 0.5 };
    internal static readonly StatedRange DataSheet = new() { LowestHz = 20, HighestHz = 16_000, ToleranceDb = 1.5 };

    internal static RangeEvidence Evidence(StatedRange stated, Func<double, Reason>? shown = null, Func<double, double>? repeatabilityDb = null) => new("pocket", Grid, stated)
    {
        Shown = new(Grid.ToArray(), [.. Grid.ToArray().Select(shown ?? (_ => Reason.None))]),
        RepeatabilityDb = [.. Grid.ToArray().Select(repeatabilityDb ?? (_ => 0.1))],
    };

    /// <summary>The same with third octaves against a reference that is known to ± <paramref name="referenceDb"/>.</summary>
    internal static RangeEvidence Compared(this RangeEvidence evidence, double referenceDb, params (double Hz, double DeviationDb, double RepeatabilityDb, bool IsSignificant)[] bands) => evidence with
    {
        Reference = "reference",
        ReferenceStandardDb = [.. Grid.ToArray().Select(_ => referenceDb / 2)],
        Deviations = [.. bands.Select(band => new BandDeviation(FrequencyBand.ThirdOctaveAt(band.Hz), band.DeviationDb, band.RepeatabilityDb, band.IsSignificant, ""))],
    };
}
