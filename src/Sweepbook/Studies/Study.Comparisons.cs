// SPDX-License-Identifier: MIT
using Sweepbook.Microphones;

namespace Sweepbook.Studies;

/// <content>Which microphone for which job.</content>
public sealed partial class Study
{
    /// <summary>The microphones that were compared with the reference, sorted for a job: <c>study.MicrophonesFor(fromHz: 20, toHz: 120)</c>.</summary>
    /// <param name="fromHz">Nominal frequency of the first third octave that the job needs, in (0, ∞) hertz.</param>
    /// <param name="toHz">Nominal frequency of the last one, in [<paramref name="fromHz"/>, ∞) hertz.</param>
    /// <returns>
    /// One comparison a microphone, at the place that covers most of the range (of those the widest): first those that cover all of it, then by the largest deviation of a third octave in it,
    /// smallest first. <see cref="MicrophoneComparison.LargestDeviation"/> and <see cref="MicrophoneComparison.Covers"/> give what they were sorted by. Empty where the survey marks no reference.
    /// </returns>
    /// <exception cref="ArgumentOutOfRangeException">A limit is outside its interval.</exception>
    /// <remarks>The reference itself is not in it. Misleads where the first is better by less than moving a microphone explains: look at the repeatability. Own definition.</remarks>
    public IReadOnlyList<MicrophoneComparison> MicrophonesFor(double fromHz, double toHz)
    {
        var wanted = Quantities.FrequencyBand.ThirdOctaves(fromHz, toHz).ToHashSet();
        return [.. Microphones.Select(Best).OfType<MicrophoneComparison>().OrderByDescending(comparison => comparison.Covers(fromHz, toHz))
            .ThenBy(comparison => Math.Abs(comparison.LargestDeviation(fromHz, toHz).DeviationDb) is var db && double.IsNaN(db) ? double.PositiveInfinity : db)];

        MicrophoneComparison? Best(MicrophoneResult microphone) => microphone.Comparisons
            .OrderByDescending(comparison => comparison.ThirdOctaves.Count(band => band.IsGiven && wanted.Contains(band.Band)))
            .ThenByDescending(comparison => comparison.Band.ToHz / comparison.Band.FromHz).FirstOrDefault();
    }
}
