// SPDX-License-Identifier: MIT
using Sweepbook.Decay;
using Sweepbook.Studies;

namespace Sweepbook.Notebook;

public static partial class Figures
{
    /// <summary>A decay map as colours: frequency to the right, time upwards, the slow peaks marked, and the finest detail that the window allows drawn above.</summary>
    /// <param name="map">The map, of any kind.</param>
    /// <param name="title">What it is a map of, or nothing.</param>
    /// <returns>One figure; what noise may reach is left blank.</returns>
    public static Figure Waterfall(DecayMap map, string title = "")
    {
        ArgumentNullException.ThrowIfNull(map);
        return WaterfallChart.Draw(map, map.SlowPeaks(), title, "none, the numbers were computed in this notebook");
    }

    /// <summary>How the bass of one source dies away at one seat.</summary>
    /// <param name="study">The study.</param>
    /// <param name="source">Id of the source.</param>
    /// <param name="seat">Id of the seat.</param>
    /// <returns>One figure, or none where too little of the bass is trusted.</returns>
    /// <exception cref="ArgumentException">The study has no such response.</exception>
    public static IReadOnlyList<Figure> Waterfalls(Study study, string source, string seat) => Waterfall(Find(study, source, seat)) is { } figure ? [figure] : [];

    /// <summary>How the bass of every source dies away, at the seat where one frequency takes longest.</summary>
    /// <param name="study">The study.</param>
    /// <returns>One figure per source, setting and microphone (of those that took turns at one place the reference) in which a slow peak stands out of the noise, in the order of the survey.</returns>
    public static IReadOnlyList<Figure> Waterfalls(Study study)
    {
        ArgumentNullException.ThrowIfNull(study);
        return [.. study.ResponsesOfOneMicrophone.Where(result => result.Seat.Length > 0 && result.SlowPeaks is [{ SureDecaySeconds: > 0 }, ..]).GroupBy(result => (result.Source, result.Setting, result.Microphone))
            .Select(seats => Waterfall(seats.MaxBy(seat => seat.SlowPeaks[0].SureDecaySeconds)!)!)];
    }

    private static Figure? Waterfall(ResponseResult result) => result.BassDecay() is { } map
        ? WaterfallChart.Draw(map, result.SlowPeaks, $"{Key(result)} at {result.Seat}: how the bass dies away", "slow-peaks.csv",
            map.FrequenciesHz[^1] > ResponseResult.SlowPeaksUpToHz ? FormattableString.Invariant($"slow peaks up to {ResponseResult.SlowPeaksUpToHz:0} Hz") : "slow peaks") : null;
}
