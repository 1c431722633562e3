// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Surveys;
using Sweepbook.Transforms;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>A take that already is an impulse response, or a recorded clap: no division, the same window and masks.</summary>
internal static class RecordedImpulse
{
    private const double LeftSeconds = 0.05;
    private const double LongestSeconds = 1.0;
    private const int LowestRateHz = 1000;        // as for a stimulus
    private const double NoisePart = 0.1;         // last tenth of the record (fact sheet 6.2, step 2)
    private const double QuietGuardSeconds = 0.02;
    private const double ShortestQuietSeconds = 0.1;

    internal static TakeAnalysis Analyse(Take take, StudyContext context)
    {
        var reading = TakeReading.Of(take, null);
        if (reading.SampleRateHz < LowestRateHz)
            throw new DataFault(take.File, null, $"recorded at {reading.SampleRateHz} Hz, too low for an analysis", $"Use a rate of {LowestRateHz} Hz or more.");
        var isTimed = take.TimeZeroSeconds is not null;
        var whole = new ImpulseResponse(reading.Microphone, reading.SampleRateHz, (take.TimeZeroSeconds ?? 0) * reading.SampleRateHz,
            isTimed ? TimeZero.Stated : TimeZero.Unknown, isTimed ? take.TimeGroup : TimeGroup.None, "recorded as an impulse response");
        var arrival = Arrival.AtFirstPeak(whole);
        if (arrival.Polarity == 0)
            throw new DataFault(take.File, null, $"channel {take.MicrophoneChannel} is silent", "Name the channel that holds the impulse response (microphone_channel).");

        var after = whole.SecondsAt(whole.Length) - arrival.Seconds;
        var window = new ImpulseWindow(LeftSeconds, Math.Min(after, LongestSeconds));
        var grid = context.GridOfRecordedImpulse(reading.SampleRateHz);
        var result = new TakeResult(take)
        {
            TimeZero = whole.TimeZero,
            TimeGroup = whole.TimeGroup,
            Arrival = isTimed && context.IsFullBand(take) ? arrival : null,
            DistanceMetres = isTimed && context.IsFullBand(take) ? arrival.Seconds * context.SpeedOfSoundMetresPerSecond : double.NaN,
            PeakDbfs = reading.PeakDbfs,
        };
        var upperEndHz = 0.45 * reading.SampleRateHz;
        var limits = TakeLimits.None with
        {
            WindowFromHz = window.TrustedFromHz,
            UpperEndHz = upperEndHz,
            UpperEnd = $"0.45 of the sample rate of {TakeLimits.Hertz(reading.SampleRateHz)}",
        };
        var block = QuietBlock(whole, arrival);
        var uncut = whole.Between(whole.SecondsAt(0), arrival.Seconds + TakeAnalysis.LongestUncutSeconds);
        return new(result, uncut, window.Cut(whole, arrival.Seconds), window, grid, NoisePower(whole, block, window, grid), (double)block.Length / reading.SampleRateHz, [], limits);
    }

    /// <summary>The quiet before the onset, or the last tenth of the record.</summary>
    private static ReadOnlySpan<double> QuietBlock(ImpulseResponse whole, Arrival arrival)
    {
        var quiet = (int)(whole.TimeZeroSamples + (arrival.Seconds - QuietGuardSeconds) * whole.SampleRateHz);
        return quiet >= ShortestQuietSeconds * whole.SampleRateHz ? whole.Samples[..quiet] : whole.Samples[(int)(whole.Length * (1 - NoisePart))..];
    }

    /// <summary>Noise of a quiet block scaled to the window's Σw².</summary>
    private static double[] NoisePower(ImpulseResponse whole, ReadOnlySpan<double> block, ImpulseWindow window, LogGrid grid)
    {
        var rate = whole.SampleRateHz;
        if (block.Length < 2) return [];
        var taper = Window.Hann(block.Length);
        var energy = 0.0;
        for (var n = 0; n < taper.Length; n++)
        {
            energy += taper[n] * taper[n];
            taper[n] *= block[n];
        }
        var length = StimulusSpectrum.EvenLength(block.Length);
        var power = StimulusSpectrum.Powers(FourierTransform.OfReal(taper, length));
        var smooth = Smoothing.PowerMean(power, (double)rate / length, grid.FrequenciesHz, 1 / 3.0);
        var scale = window.EnergySamples(rate) / energy;
        var rounding = TakeReading.Step(whole.Samples) is var step && double.IsFinite(step) ? step * step / 12 * window.EnergySamples(rate) : 0;
        for (var k = 0; k < smooth.Length; k++) smooth[k] = Math.Max(smooth[k] * scale, rounding);   // a padded or rounded record is noisy too
        return smooth;
    }
}
