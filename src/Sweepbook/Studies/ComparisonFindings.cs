// SPDX-License-Identifier: MIT
using Sweepbook.Microphones;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>What to say about the microphones that were compared: the bottom octave and the top two by name, and what moving a microphone explains.</summary>
internal static class ComparisonFindings
{
    private const double GoodWithinDb = 1;   // common practice, no source: a good new microphone

    internal static IEnumerable<Finding> Of(Study study)
    {
        foreach (var microphone in study.Microphones)
        {
            if (ComparisonStudy.Widest(microphone.Places) is { } widest)
            {
                yield return Compared(widest.Comparison!);
                if (SourceWatch.Of(study, widest) is { } watched) yield return watched;
            }
            foreach (var place in microphone.Places.Where(place => place.Comparison is null).DistinctBy(place => place.WhyNot))
                yield return new("microphones-not-compared", Severity.Caution, microphone.Id, double.NaN, "",
                    $"{microphone.Id} is not compared with {place.Reference.Microphone} ({place.Words}): {place.WhyNot}");
        }
    }

    /// <summary>Who agrees with the reference and who departs, where most; null where nothing was compared.</summary>
    internal static Finding? Headline(Study study)
    {
        var compared = study.Microphones.Select(microphone => ComparisonStudy.Widest(microphone.Places)?.Comparison).OfType<MicrophoneComparison>()
            .Where(comparison => comparison.Octaves.Any(band => band.IsGiven)).ToList();
        if (compared.Count == 0) return null;
        var most = compared.Select(comparison => (comparison.Tested, Band: comparison.Octaves.Where(band => band.IsGiven).OrderByDescending(band => Math.Abs(band.DeviationDb)).FirstOrDefault())).ToList();
        var departing = most.Where(entry => entry.Band.IsSignificant && Math.Abs(entry.Band.DeviationDb) >= GoodWithinDb).ToList();
        var agreeing = most.Except(departing).ToList();
        var apart = departing.Count == 0 ? "" : StudyFindings.Listed(departing.Select(entry => $"{entry.Tested} reads {High(entry.Band.DeviationDb)} in the {TakeLimits.Hertz(entry.Band.Band.NominalHz)} octave"));
        var alike = agreeing.Count == 0 ? "" : FormattableString.Invariant($"{StudyFindings.Listed(agreeing.Select(entry => entry.Tested))} {(agreeing.Count == 1 ? "agrees" : "agree")} within {agreeing.Max(entry => Math.Abs(entry.Band.DeviationDb)):0.0} dB in every octave");
        return new("microphones", departing.Count > 0 ? Severity.Caution : Severity.Note, "survey", most.Max(entry => Math.Abs(entry.Band.DeviationDb)), "dB",
            $"Against {compared[0].Reference}, {string.Join("; ", new[] { apart, alike }.Where(part => part.Length > 0))}.");
    }

    private static Finding Compared(MicrophoneComparison comparison)
    {
        List<BandDeviation> named = [.. new[] { comparison.BottomOctave }.Where(band => band.IsGiven), .. comparison.TopOctaves];
        named = [.. named.DistinctBy(band => band.Band)];
        var where = $"{comparison.Tested} against {comparison.Reference} ({comparison.Place}, believed from {comparison.Band.Words})";
        if (named.Count == 0)
            return new("microphone-compared", Severity.Note, comparison.Tested, double.NaN, "", $"{where}: the band holds no whole octave, so nothing is said of octaves; the third octaves are in {ComparisonTable.FileName}.");
        var largest = named.MaxBy(band => Math.Abs(band.DeviationDb));
        var readings = StudyFindings.Listed(named.Select(band => $"{High(band.DeviationDb)} in the {TakeLimits.Hertz(band.Band.NominalHz)} octave"));
        return new("microphone-compared", named.Exists(band => band.IsSignificant && Math.Abs(band.DeviationDb) >= GoodWithinDb) ? Severity.Caution : Severity.Note, comparison.Tested, largest.DeviationDb, "dB",
            $"{where} reads {readings}. {Explained(comparison, named)}");
    }

    private static string Explained(MicrophoneComparison comparison, List<BandDeviation> named)
    {
        if (comparison.IsNoiseOnly)
            return $"{comparison.Reference} was read there only once, so nobody knows what moving a microphone does: repeat it, moved away and set up again in between.";
        var (less, more) = (named.Min(band => band.RepeatabilityDb), named.Max(band => band.RepeatabilityDb));
        var moving = more < 0.05 ? "Setting a microphone up again explains less than 0.1 dB"
            : less < 0.05 ? FormattableString.Invariant($"Setting a microphone up again explains ± {more:0.0} dB at most")
            : FormattableString.Invariant($"Setting a microphone up again explains ± {less:0.0}{(more - less < 0.05 ? "" : FormattableString.Invariant($" to ± {more:0.0}"))} dB");
        var beyond = named.Where(band => band.IsSignificant).ToList();
        return beyond.Count == 0 ? $"{moving}, so the two agree there as well as can be told."
            : beyond.Count == named.Count ? $"{moving}: what is more is the microphone."
            : $"{moving}: beyond that {(beyond.Count == 1 ? "is" : "are")} the {StudyFindings.Listed(beyond.Select(band => TakeLimits.Hertz(band.Band.NominalHz)))} octave{(beyond.Count == 1 ? "" : "s")}.";
    }

    private static string High(double deviationDb) => Math.Abs(deviationDb) < 0.05 ? "the same"
        : FormattableString.Invariant($"{Math.Abs(deviationDb):0.0} dB {(deviationDb > 0 ? "high" : "low")}");
}
