// SPDX-License-Identifier: MIT
using Sweepbook.Seats;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>What the seats of a survey hear in common, and how they differ.</summary>
/// <remarks>Weights are those of the survey's seats. Source: beside <see cref="SeatSet"/>.</remarks>
internal static class SeatStudy
{
    internal const double BassFromHz = 20, BassToHz = 120;   // common practice, no source: the range in which rooms and subwoofers decide
    private const double StandsOutRatio = 1.5;               // own choice: half as far again from the others as the next seat, before anybody is named
    private const int FewestSeatsForOneToStandOut = 3;

    internal static IReadOnlyList<SeatResult> Results(Study study) => [.. Groups(study).Where(group => HaveOneGrid(group)).Select(group => new SeatResult(group[0].Takes[0],
        SeatSet.Of([.. group.Select(result => new SeatResponse(result.Seat, result.Response, study.Survey.Seat(result.Seat).Weight))])))];

    internal static IEnumerable<Finding> Findings(Study study)
    {
        foreach (var group in Groups(study).Where(group => !HaveOneGrid(group)))
            yield return new("seats-not-compared", Severity.Caution, group[0].Source, group.Count, "seats",
                $"The seats of {group[0].Source} are not compared, because their recordings have different sample rates ({StudyFindings.Listed(group.Select(result => result.ImpulseResponse.SampleRateHz).Distinct().Order().Select(rate => $"{rate} Hz"))}): record all of them at one rate.");
        foreach (var result in study.SeatResults())
        {
            var bass = result.Seats.Between(BassFromHz, BassToHz);
            if (bass.Points == 0) continue;
            var band = new TrustedBand(bass.FromHz, bass.ToHz, default, default).Words;
            yield return new("seat-spread", Severity.Note, Named(result), bass.MeanSpatialVarianceDb2, "dB²", FormattableString.Invariant(
                $"With {Named(result)} the {result.Seats.Seats.Count} seats differ by {(bass.IsLowerBound ? "at least " : "")}{Math.Sqrt(bass.MeanSpatialVarianceDb2):0.0} dB from {band} (standard deviation, {result.Seats.DividedInWords}; mean spatial variance {bass.MeanSpatialVarianceDb2:0.0} dB²); their common level varies by {Math.Sqrt(bass.VarianceOfSpatialMeanDb2):0.0} dB over frequency (variance of the spatial mean {bass.VarianceOfSpatialMeanDb2:0.0} dB²). An equaliser can even out the second only."));
            if (StandingOut(result.Seats) is { } seat)
                yield return new("seat-stands-out", Severity.Note, $"{Named(result)} at {seat.Seat}", seat.RmsDb, "dB", FormattableString.Invariant(
                    $"{seat.Seat} stands out with {Named(result)}: from {band} it is {seat.RmsDb:0.0} dB (rms) away from the mean level of the other seats, {OnAverage(seat.MeanDb)}."));
        }
    }

    private static SeatDeviation? StandingOut(SeatSet seats)
    {
        if (seats.Seats.Count < FewestSeatsForOneToStandOut) return null;
        var ranked = seats.Deviations(BassFromHz, BassToHz).OrderByDescending(seat => seat.RmsDb).ToList();
        return ranked[0].RmsDb >= StandsOutRatio * ranked[1].RmsDb ? ranked[0] : null;
    }

    private static string OnAverage(double meanDb) => Math.Abs(meanDb) < 0.5
        ? "now above, now below"
        : FormattableString.Invariant($"on average {Math.Abs(meanDb):0.0} dB {(meanDb > 0 ? "louder" : "weaker")}");

    /// <summary>The source, and its setting where that is not how the system was found.</summary>
    internal static string Named(SeatResult result) => result.Setting == Surveys.Setting.AsFoundId ? result.Source : $"{result.Source}, {result.Setting}";

    /// <summary>Responses that may be compared, one per seat, at least two of them of a seat that counts.</summary>
    private static IEnumerable<IReadOnlyList<ResponseResult>> Groups(Study study) => study.Responses
        .Where(result => SeatGroup.Of(result.Takes[0]) is not null && result.Seat.Length > 0 && study.Survey.Seat(result.Seat).Weight > 0)
        .GroupBy(result => (SeatGroup.Of(result.Takes[0]), result.Takes[0].DistanceMm, result.Takes[0].AngleDeg))
        .Select(group => group.DistinctBy(result => result.Seat).ToList()).Where(group => group.Count > 1);

    private static bool HaveOneGrid(IReadOnlyList<ResponseResult> group) =>
        group.All(result => result.Response.Grid.FrequenciesHz.SequenceEqual(group[0].Response.Grid.FrequenciesHz));
}
