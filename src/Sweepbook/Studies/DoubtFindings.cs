// SPDX-License-Identifier: MIT
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Doubts that somebody can do something about, where they end a response's band: what is doubted, why, and the remedy.</summary>
/// <remarks>
/// What lies inside the band is named as a gap; where another limit ends the band first, as with a subwoofer's treble, nothing was lost; what costs less
/// than a third of an octave is left to the tables. Source: own definition.
/// </remarks>
internal static class DoubtFindings
{
    private const double LeastOctaves = 1 / 3.0;
    private const double AgainOctaves = 1;   // repeats that disagree over more than that are not repeats of one thing

    private static readonly (Doubt Doubt, string Id, string Remedy)[] Remedies =
    [
        (Doubt.Repeats, "repeats-disagree", "something moved or changed between them: record them again, or leave one of them out"),
        (Doubt.Loopback, "loopback-weak", "raise the level of the loopback, at its output or its input, and record again"),
        (Doubt.LevelDependent, "level-dependent", "play it softer, or take this as the limit of what plays"),
    ];

    /// <summary>One finding per response and doubt; what two drives of one take share is said once.</summary>
    internal static IEnumerable<Finding> Of(Study study) => All(study).DistinctBy(finding => finding.Sentence);

    private static IEnumerable<Finding> All(Study study)
    {
        foreach (var result in study.Responses)
        {
            var place = result.Setting == Setting.AsFoundId ? $"{result.Source} at {result.Seat}" : $"{result.Source}, {result.Setting}, at {result.Seat}";
            foreach (var (doubt, id, remedy) in Remedies.Where(row => row.Doubt == result.LevelBand.LowReason.Doubt || row.Doubt == result.LevelBand.HighReason.Doubt))
            {
                var (octaves, lowHz, highHz, reason, previousHz) = (0.0, double.NaN, double.NaN, "", double.NaN);
                foreach (var point in result.Response.Points())
                {
                    if (point.LevelReason.Doubt == doubt && !result.LevelBand.Contains(point.FrequencyHz))
                    {
                        if (double.IsNaN(lowHz)) (lowHz, reason) = (point.FrequencyHz, point.LevelReason.Sentence);
                        highHz = point.FrequencyHz;
                        if (previousHz > 0) octaves += Math.Log2(point.FrequencyHz / previousHz);
                    }
                    previousHz = point.FrequencyHz;
                }
                if (octaves < LeastOctaves) continue;
                yield return new(id, doubt == Doubt.Repeats && octaves > AgainOctaves ? Severity.Fault : Severity.Caution, place, octaves, "octaves",
                    FormattableString.Invariant($"{place} may not be believed over {octaves:0.0} octaves between {Ends(lowHz, highHz)} ({reason}); {remedy}."));
            }
        }
    }

    private static string Ends(double lowHz, double highHz) => new TrustedBand(lowHz, highHz, default, default).Words.Replace(" to ", " and ", StringComparison.Ordinal);
}
