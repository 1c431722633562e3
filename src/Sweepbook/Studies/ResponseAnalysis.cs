// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Brings the repeats of one take together: mean impulse response, response on the grid, calibration off, masks on.</summary>
internal static class ResponseAnalysis
{
    internal const double WantedForLevelDb = 15;      // design, "What may be believed": noise
    internal const double WantedForPhaseDb = 20;
    internal const double WantedOfLoopbackDb = 40;
    private const double LeastSnrRatio = 0.01;

    /// <summary>The repeats of one take before they are judged: their mean, and its spectrum.</summary>
    internal sealed record Gathered(IReadOnlyList<TakeAnalysis> Repeats, ImpulseResponse Uncut, ImpulseResponse Mean, GridSpectrum Spectrum)
    {
        /// <summary>Where another drive of the same take gives another shape; null where there is no other.</summary>
        internal TrustMask? LevelDependent { get; init; }

        /// <summary>True where the window was asked for and not found by the analysis: what it cuts off is then wanted.</summary>
        internal bool IsWindowChosen { get; init; }

        internal SeatGroup? Seats => SeatGroup.Of(Repeats[0].Result.Take);

        internal LogGrid Grid => Repeats[0].Grid!;
    }

    internal static Gathered Gather(IReadOnlyList<TakeAnalysis> repeats)
    {
        var mean = RepeatMean.Of([.. repeats.Select(repeat => repeat.Windowed!)]);
        return new(repeats, RepeatMean.OfCommonPart([.. repeats.Select(repeat => repeat.Uncut!)]), mean, GridSpectrum.Of(mean, repeats[0].Grid!));
    }

    /// <summary>The third-octave power of each group of seats, averaged over its seats: noise is judged against it, so that a dip at one seat is not hidden.</summary>
    internal static Dictionary<SeatGroup, double[]> MeanOverSeats(IEnumerable<Gathered> all)
    {
        var means = new Dictionary<SeatGroup, double[]>();
        foreach (var group in all.Where(gathered => gathered.Seats is not null).GroupBy(gathered => gathered.Seats!.Value))
        {
            var count = group.First().Grid.Count;
            if (group.All(gathered => gathered.Grid.Count == count))
                means[group.Key] = [.. Enumerable.Range(0, count).Select(k => group.Average(gathered => gathered.Spectrum.ThirdOctavePower[k]))];
        }
        return means;
    }

    /// <summary>Judges a response; <paramref name="seatMean"/> is the local power averaged over comparable seats, or null where there are none.</summary>
    internal static ResponseResult Of(Gathered gathered, double[]? seatMean, StudyContext context) =>
        new([.. gathered.Repeats.Select(repeat => repeat.Result.Take)], gathered.Uncut, gathered.Mean,
            UncertaintyAnalysis.Judged(Response(gathered, seatMean, context).WithTimeMoments(() => TimeMoments(gathered, context)), gathered, context), gathered.Repeats[0].Window)
        {
            Views = new(gathered, seatMean, context),
            HarmonicReadings = [.. gathered.Repeats.Select(repeat => repeat.Harmonics).OfType<HarmonicReading>()],
            CorrectionDbAt = context.CorrectionDbAt(gathered.Repeats[0].Result.Take),
            Placed = DelayBounds.Of(context, gathered.Repeats[0].Result.Take),
        };

    private static Complex[] TimeMoments(Gathered gathered, StudyContext context)
    {
        var correction = Corrections(context, gathered.Repeats[0].Result.Take, gathered.Grid);
        var moments = GridSpectrum.TimeMoments(gathered.Mean, gathered.Grid);
        return context.PhaseOf(gathered.Repeats[0].Result.Take, gathered.Grid) is not { } phase
            ? [.. moments.Select((moment, k) => moment * Decibels.ToAmplitudeRatio(correction[k]))]
            : [.. moments.Select((moment, k) => (moment + phase.DelaySeconds(gathered.Grid, k) * gathered.Spectrum.Values[k]) * phase.Turn(k) * Decibels.ToAmplitudeRatio(correction[k]))];
    }

    /// <summary>The response without its uncertainty.</summary>
    internal static Response Response(Gathered gathered, double[]? seatMean, StudyContext context)
    {
        var (repeats, _, mean, spectrum) = gathered;
        var (first, grid) = (repeats[0], gathered.Grid);
        var take = first.Result.Take;
        var noise = MeanNoise(repeats, grid.Count);
        var silence = repeats.Sum(repeat => repeat.SilenceSeconds);
        var correction = Corrections(context, take, grid);
        var (values, power, noisePower) = (new Complex[grid.Count], new double[grid.Count], new double[grid.Count]);
        var microphone = context.PhaseOf(take, grid);
        var (localSnr, cellSnr) = (new double[grid.Count], new double[grid.Count]);
        for (var k = 0; k < grid.Count; k++)
        {
            var gain = Decibels.ToAmplitudeRatio(correction[k]);
            (values[k], power[k], noisePower[k]) = (spectrum.Values[k] * gain, spectrum.CellPower[k] * gain * gain, noise[k] * gain * gain);
            if (microphone is not null) values[k] *= microphone.Turn(k);
            localSnr[k] = SnrDb(Math.Max(spectrum.ThirdOctavePower[k], seatMean?[k] ?? 0), noise[k]) - NoiseMargin.DecibelsAt(grid[k], silence);
            cellSnr[k] = SnrDb(spectrum.CellPower[k], noise[k]);
        }
        var censored = cellSnr.Select(snr => snr < WantedForLevelDb).ToArray();
        var (level, phase) = Masks(gathered, context, localSnr, cellSnr);
        level = level.And(DipsAtTheEnds(level, censored, grid));
        return new(grid, values, power, noisePower, censored, level, phase, mean.TimeGroup,
            context.PressureGainDb(take) is null ? SeatGroup.ReferenceOf(take) : LevelReference.SoundPressure)
        {
            Microphone = take.Microphone,
            MicrophonePhaseHz = microphone is null ? null : (microphone.FromHz, microphone.ToHz),
        };
    }

    private static double SnrDb(double power, double noise) =>
        double.IsNaN(noise) ? double.NaN : noise == 0 ? double.PositiveInfinity : Decibels.FromPower(Math.Max(power / noise - 1, LeastSnrRatio));

    /// <summary>Noise of the mean of n repeats: the mean of their noise powers over n; unknown where one of them is.</summary>
    private static double[] MeanNoise(IReadOnlyList<TakeAnalysis> repeats, int count)
    {
        var noise = new double[count];
        foreach (var repeat in repeats)
            for (var k = 0; k < count; k++)
                noise[k] += repeat.NoisePower.Length == 0 ? double.NaN : repeat.NoisePower[k] / ((double)repeats.Count * repeats.Count);
        return noise;
    }

    private static double[] Corrections(StudyContext context, Take take, LogGrid grid)
    {
        var (correctionDbAt, gainDb) = (context.CorrectionDbAt(take), context.PressureGainDb(take) ?? 0);
        return [.. grid.ToArray().Select(frequencyHz => correctionDbAt(frequencyHz) + gainDb)];
    }

    private static (TrustMask Level, TrustMask Phase) Masks(
        Gathered gathered, StudyContext context, double[] localSnr, double[] cellSnr)
    {
        var (repeats, grid) = (gathered.Repeats, gathered.Grid);
        var frequencies = grid.FrequenciesHz;
        var shared = MicrophoneMask.Of(context, repeats[0].Result.Take, grid);
        foreach (var repeat in repeats)
        {
            shared = shared.And(repeat.Limits.Mask(frequencies));
            if (repeat.LoopbackSnrDb.Length > 0)
                shared = shared.And(Limits.AtLeast(frequencies, repeat.LoopbackSnrDb, WantedOfLoopbackDb, Doubt.Loopback,
                    NoiseMask.Within("the loopback's noise", WantedOfLoopbackDb)));
        }
        if (Array.Exists(localSnr, double.IsNaN))
            shared = shared.And(Limits.From(frequencies, double.PositiveInfinity, new(Doubt.Noise, "the noise is not known: no silent block in the recording")));
        shared = shared.And(TruncationMask.Of(repeats, gathered.Spectrum.ThirdOctavePower, grid, gathered.IsWindowChosen))
            .And(LevelDependence.Distortion(repeats, grid));
        if (gathered.LevelDependent is { } levelDependent) shared = shared.And(levelDependent);
        var (levelRepeats, phaseRepeats) = RepeatMask.Of(repeats, grid);
        var level = shared.And(levelRepeats).And(NoiseMask.Of(grid, localSnr, repeats, WantedForLevelDb));
        var phase = shared.And(phaseRepeats)
            .And(NoiseMask.Of(grid, localSnr, repeats, WantedForPhaseDb))
            .And(NoiseMask.Of(grid, cellSnr, repeats, WantedForPhaseDb))
            .And(TimeZeroMask.Of(repeats[0].Result.TimeZero, repeats.Max(repeat => repeat.Result.TimeZeroUncertaintySeconds), grid));
        return (level, phase);
    }

    /// <summary>A dip inside the trusted band stays, as an upper bound; one at the band's ends belongs to the noise beyond.</summary>
    private static TrustMask DipsAtTheEnds(TrustMask level, bool[] censored, LogGrid grid)
    {
        var reasons = new Reason[grid.Count];
        var band = level.LongestBand();
        var first = grid.FrequenciesHz.IndexOf(band.FromHz);
        var last = grid.FrequenciesHz.IndexOf(band.ToHz);
        if (band.IsEmpty) return new(grid.FrequenciesHz, reasons);
        for (var k = first; k <= last && (censored[k] || !level[k]); k++) reasons[k] = new(Doubt.Noise, NoiseMask.Within("noise", WantedForLevelDb));
        for (var k = last; k >= first && (censored[k] || !level[k]); k--) reasons[k] = new(Doubt.Noise, NoiseMask.Within("noise", WantedForLevelDb));
        return new(grid.FrequenciesHz, reasons);
    }
}
