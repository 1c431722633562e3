// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Impulses;
using Sweepbook.Stimuli;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>The survey's input check, judged: the ratio that corrects its loopback takes, or why it corrects nothing.</summary>
/// <param name="Take">The recording as the survey names it.</param>
/// <param name="Ratio">The ratio, or null.</param>
/// <param name="WhyNot">Why it is not used and what to do; null where it is used.</param>
internal sealed record InputCheck(Take Take, InputRatio? Ratio, string? WhyNot)
{
    private const double SilentDbfs = -60;          // as for a loopback
    private const double LargestDb = 6;             // own choice: couplings and converters of two inputs differ by tenths of a decibel above 10 Hz
    private const double LargestSkewSamples = 5;    // own choice: converters of one device differ by fractions of a sample, of some chains by one or two

    /// <summary>The check of a survey, or null where it has none.</summary>
    internal static InputCheck? Of(Survey survey, Func<Take, Stimulus> stimulusOf)
    {
        if (survey.InputCheck is not { } take) return null;
        try
        {
            return Judge(take, stimulusOf(take));
        }
        catch (DataFault fault)
        {
            return new(take, null, fault.Message);
        }
    }

    /// <summary>True where the check was made with the channels and the rate of a take that has a loopback.</summary>
    internal bool Fits(Take take, int sampleRateHz) => Ratio is not null && take.TimeZero == TimeZero.Loopback && take.MicrophoneChannel == Take.MicrophoneChannel
        && take.ReferenceChannel == Take.ReferenceChannel && sampleRateHz == Ratio.SampleRateHz;

    private static InputCheck Judge(Take take, Stimulus stimulus)
    {
        var raw = TakeReading.Of(take, stimulus);
        var reading = raw.WithoutOffset(stimulus.SweepStart);
        var plan = Deconvolution.By(stimulus, reading.Microphone.Length);
        foreach (var (channel, samples) in new[] { (take.MicrophoneChannel, raw.Microphone), (take.ReferenceChannel!.Value, raw.Reference!) })
        {
            if (Quantities.Decibels.FromAmplitude(TakeReading.Peak(samples)) < SilentDbfs)
                throw new DataFault(take.File, null, $"channel {channel} is silent", "An input check holds one signal in both inputs: split the output to both with a cable, then record it again.");
            if (TakeReading.ClippedSamples(samples).Count is > 0 and var clipped)
                throw new DataFault(take.File, null, $"channel {channel} has {clipped} clipped samples", "Turn the gain of that input down, or the output, and record the input check again.");
            if (!Loopback.Judge(plan, samples).IsUsable)
                throw new DataFault(take.File, null, $"channel {channel} does not hold the stimulus \"{take.Stimulus}\"", "Name the stimulus that was played in [input-check], and use a wire, not a microphone, into both inputs.");
        }
        var ratio = InputRatio.Of(plan, reading.Microphone, reading.Reference!);
        if (ratio.LargestDb > LargestDb)
            throw new DataFault(take.File, null, FormattableString.Invariant($"the inputs differ by {ratio.LargestDb:0.0} dB over frequency, more than two inputs of one device do"),
                "Is the same signal in both, and are filters, equalisers and effects of the inputs off? Record the input check again.");
        if (Math.Abs(ratio.Skew.Seconds) * ratio.SampleRateHz > LargestSkewSamples)
            throw new DataFault(take.File, null, FormattableString.Invariant($"one input is {Math.Abs(ratio.Skew.Seconds) * ratio.SampleRateHz:0.0} samples later than the other, more than two inputs of one device are"),
                "Do both belong to one device, and are effects of the inputs off? Record the input check again.");
        return new(take, ratio, null);
    }

    internal static IEnumerable<Finding> Findings(Study study)
    {
        if (study.InputCheck is not { } check) yield break;
        var file = check.Take.File;
        if (check.Ratio is not { } ratio)
        {
            var problem = check.WhyNot!.StartsWith(file, StringComparison.Ordinal) ? check.WhyNot : $"{file}: {check.WhyNot}";
            yield return new("input-check", Severity.Fault, file, double.NaN, "", $"{problem} Until then no take is corrected for its inputs.");
            yield break;
        }
        var timed = study.Takes.Where(take => take.IsUsed && take.TimeZero == TimeZero.Loopback).ToList();
        var corrected = timed.Count(take => take.IsInputCorrected);
        var others = timed.Count - corrected;
        yield return new("input-check", others > 0 ? Severity.Caution : Severity.Note, file, ratio.LargestDb, "dB", FormattableString.Invariant(
            $"The two inputs differ by up to {ratio.LargestDb:0.00} dB and {Math.Abs(ratio.Skew.Seconds) * 1e6:0.0} µs{(ratio.Skew.Polarity < 0 ? ", and one of them is reversed" : "")}, as {file} shows; that was removed from {corrected} {(corrected == 1 ? "take" : "takes")}. Their gain was left as it is ({ratio.GainDb:0.0} dB apart in the check).")
            + (others == 0 ? "" : $" {others} {(others == 1 ? "take uses" : "takes use")} other channels or another rate and {(others == 1 ? "was" : "were")} not corrected: make an input check with those."));
    }
}
