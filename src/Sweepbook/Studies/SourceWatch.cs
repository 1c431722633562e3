// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Whether the source stayed the same between the takes that are compared, as far as the loopback saw.</summary>
/// <remarks>
/// The loopback's level over the stimulus, octave by octave, is laid side by side for all takes of a place. The division by the loopback takes such a change out of the responses, so it costs nothing by itself; but
/// an output that moved says that somebody touched something, or that a converter warmed up. Misleads as proof of a steady source: amplifier, loudspeaker and air lie behind the point at which the
/// loopback listens, and only repeats of the reference, before and after the others, tell about those. Source: own definition.
/// </remarks>
internal static class SourceWatch
{
    private const double SteadyDb = 0.1;   // own choice: converters of one interface agree from take to take to a few hundredths

    internal static IReadOnlyDictionary<int, double> Nothing { get; } = new Dictionary<int, double>();

    /// <summary>Level of the loopback over the stimulus, by the index of the octave, from the blocks in which the sweep passes it.</summary>
    internal static IReadOnlyDictionary<int, double> LevelsDb(TakeEvidence evidence) => evidence.Track is not { } track ? Nothing
        : track.Blocks.Where(block => block.GainRatio > 0).GroupBy(block => (int)Math.Round(Math.Log2(block.FrequencyHz / 1000)))
            .ToDictionary(octave => octave.Key, octave => Decibels.FromPower(octave.Sum(block => block.GainRatio * block.GainRatio * block.Length) / octave.Sum(block => block.Length)));

    /// <summary>By how much the loopback moved between takes: its level, and its shape beyond that; NaN where less than two takes have one.</summary>
    internal static (double LevelDb, double ShapeDb) Moved(IEnumerable<TakeResult> takes)
    {
        var watched = takes.Where(take => take.LoopbackDb.Count > 0).Select(take => take.LoopbackDb).ToList();
        if (watched.Count < 2) return (double.NaN, double.NaN);
        int[] octaves = [.. watched[0].Keys.Where(octave => watched.TrueForAll(levels => levels.ContainsKey(octave))).Order()];
        if (octaves.Length == 0) return (double.NaN, double.NaN);
        double[] means = [.. watched.Select(levels => octaves.Average(octave => levels[octave]))];
        return (means.Max() - means.Min(), octaves.Max(octave => Range(watched.Select((levels, n) => levels[octave] - means[n]))));

        static double Range(IEnumerable<double> values) => values.ToList() is var all ? all.Max() - all.Min() : 0;
    }

    internal static Finding? Of(Study study, PlaceComparison place)
    {
        var takes = study.Takes.Where(take => take.IsUsed && (place.Tested.Takes.Contains(take.Take) || place.Reference.Takes.Contains(take.Take))).ToList();
        var (level, shape) = Moved(takes);
        var witness = place.Reference.Repeats > 1 ? $"the {place.Reference.Repeats} repeats of {place.Reference.Microphone} are the only witness" : $"repeat {place.Reference.Microphone} before and after the others, so that they are a witness";
        var (who, where) = ($"{place.Tested.Microphone} and {place.Reference.Microphone}", place.Words);
        if (takes.Exists(take => take.LoopbackDb.Count == 0) || double.IsNaN(level))
            return new("source-unwatched", Severity.Note, where, double.NaN, "", $"Nobody watched the source while {who} took {where}, because {(double.IsNaN(level) ? "there was no loopback" : "some of the takes have no loopback")}: {witness} of a source that stayed the same.");
        if (Math.Max(level, shape) <= SteadyDb) return null;
        return new("source-moved", shape > SteadyDb ? Severity.Caution : Severity.Note, where, Math.Max(level, shape), "dB", FormattableString.Invariant(
            $"While {who} took {where}, the level in the loopback moved by {level:0.0} dB and its tone by {shape:0.0} dB: the division by the loopback takes that out, but somebody touched the output, or it was warming up. Amplifier and loudspeaker come after it: {witness} for those."));
    }
}
