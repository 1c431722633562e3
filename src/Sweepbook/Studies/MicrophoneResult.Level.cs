// SPDX-License-Identifier: MIT
using MathNet.Numerics.Statistics;
using Sweepbook.Microphones;
using Sweepbook.Quantities;

namespace Sweepbook.Studies;

public sealed partial class MicrophoneResult
{
    private MicrophoneLevel[]? _levels;

    /// <summary>What makes sound pressure of its samples: at the input gain that most of its takes were made with.</summary>
    /// <returns>Where nothing is known at that gain, <see cref="MicrophoneLevel.IsKnown"/> is false and <see cref="MicrophoneLevel.WhyNot"/> says why.</returns>
    /// <remarks>See <see cref="MicrophoneLevel"/>, also for what misleads and the source.</remarks>
    public MicrophoneLevel Level => Levels[0];

    /// <summary>The same for every input gain of its takes and of its calibrations: most takes first, then by rising gain.</summary>
    public IReadOnlyList<MicrophoneLevel> Levels => LazyInitializer.EnsureInitialized(ref _levels, () =>
    {
        var used = Study.Takes.Where(take => take.IsUsed && take.Take.Microphone == Id && !take.Take.IsImpulse).ToLookup(take => take.Take.InputGainDb);
        double?[] gains = [.. used.Select(group => group.Key).Union(Study.Sensitivities.GainsOf(Id)).OrderByDescending(gain => used[gain].Count()).ThenBy(gain => gain)];
        return [.. (gains.Length == 0 ? [null] : gains).Select(gain => LevelAt(gain, [.. used[gain]]))];
    });

    private MicrophoneLevel LevelAt(double? gainDb, IReadOnlyList<TakeResult> takes)
    {
        if (Study.Sensitivities.Of(Id, gainDb) is not { } known)
            return new() { InputGainDb = gainDb, WhyNot = Study.Sensitivities.WhyNot(Id, gainDb), StatedMaximumDb = Stated.MaxSplDb ?? double.NaN, StatedNoiseDba = Stated.NoiseDba ?? double.NaN };
        BlockNoise[] silent = [.. takes.Select(take => take.SilentNoise).OfType<BlockNoise>()];
        var shiftDb = CalibratorReading.ReferenceDb - known.Dbfs - (takes.Count == 0 ? 0 : Study.CorrectionDbAt(takes[0].Take)(known.AtHz));
        return new()
        {
            InputGainDb = gainDb,
            SensitivityDbfs = known.Dbfs,
            Origin = known.Origin,
            Readings = known.Readings,
            StatedMaximumDb = Stated.MaxSplDb ?? double.NaN,
            StatedNoiseDba = Stated.NoiseDba ?? double.NaN,
            NoiseTakes = silent.Length,
            EquivalentNoiseDba = silent.Length == 0 ? double.NaN : Decibels.FromPower(silent.Select(noise => noise.WeightedPower).Median()) + shiftDb,
            NoiseBands = [.. silent.SelectMany(noise => noise.Bands.Keys).Distinct().OrderBy(band => band.Index).Select(band =>
                new BandLevel(band, Decibels.FromPower(silent.Where(noise => noise.Bands.ContainsKey(band)).Select(noise => noise.Bands[band]).Median()) + shiftDb))],
        };
    }
}
