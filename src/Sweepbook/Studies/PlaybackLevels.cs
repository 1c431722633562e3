// SPDX-License-Identifier: MIT
using MathNet.Numerics.Statistics;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>How loud the sweep was played, in dBFS of the output: what turns a response over the loopback or the stimulus into the level of a sine.</summary>
/// <remarks>
/// Takes of one stimulus and drive were meant to be played alike, so all of them are given at the median of what their loopbacks read: a response over the loopback does not change with
/// the output's level, and neither do its differences from others. Without a loopback it is the level of the stimulus file. Source: own definition.
/// </remarks>
internal sealed class PlaybackLevels
{
    private const double AlikeDb = 1;   // own choice: beyond it somebody turned a knob
    private readonly Dictionary<(string?, double?, bool), double> _levels = [];
    private readonly List<Finding> _findings = [];

    private PlaybackLevels()
    {
    }

    internal static PlaybackLevels None { get; } = new();

    internal static PlaybackLevels Of(IReadOnlyList<TakeAnalysis> analyses)
    {
        var levels = new PlaybackLevels();
        foreach (var group in analyses.Where(analysis => analysis.Result.IsUsed && double.IsFinite(analysis.PlayedDbfs)).GroupBy(analysis => KeyOf(analysis.Result.Take)))
        {
            var median = group.Select(analysis => analysis.PlayedDbfs).Median();
            levels._levels[group.Key] = median;
            foreach (var analysis in group.Where(analysis => Math.Abs(analysis.PlayedDbfs - median) > AlikeDb))
                levels._findings.Add(new("played-level", Severity.Caution, analysis.Result.Take.File, analysis.PlayedDbfs - median, "dB", FormattableString.Invariant(
                    $"{analysis.Result.Take.File} was played {Math.Abs(analysis.PlayedDbfs - median):0.0} dB {(analysis.PlayedDbfs > median ? "louder" : "quieter")} than most takes of its stimulus and drive; its levels in dB re 20 µPa are given as if it had been played like them. State drive_db where that was meant.")));
        }
        return levels;
    }

    /// <summary>The takes that were played otherwise than the rest.</summary>
    internal IReadOnlyList<Finding> Findings => _findings;

    /// <summary>Level of the sweep in dBFS; NaN where nothing is known about it, as for an impulse response.</summary>
    internal double DbfsOf(Take take) => _levels.GetValueOrDefault(KeyOf(take), double.NaN);

    private static (string?, double?, bool) KeyOf(Take take) => (take.Stimulus, take.DriveDb, take.TimeZero == TimeZero.Loopback);
}
