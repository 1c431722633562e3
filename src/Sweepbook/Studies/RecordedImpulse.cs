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
        var gate = FreeFieldGate.Of(take, context);
        var window = gate.Cut(new(LeftSeconds, Math.Min(after, LongestSeconds)));
        var grid = context.GridOfRecordedImpulse(reading.SampleRateHz);
        var result = new TakeResult(take)
        {
            TimeZero = whole.TimeZero,
            TimeGroup = whole.TimeGroup,
            TimeZeroUncertaintySeconds = isTimed ? TimeZeroMask.UncertaintySecondsOfStated(whole.SampleRateHz) : double.NaN,
            Arrival = isTimed && context.IsFullBand(take) ? arrival : null,
            DistanceMetres = isTimed && context.IsFullBand(take) ? arrival.Seconds * context.SpeedOfSoundMetresPerSecond : double.NaN,
            PeakDbfs = reading.PeakDbfs,
        };
        var block = QuietBlock(whole, arrival);
        var uncut = whole.Between(whole.SecondsAt(0), arrival.Seconds + TakeAnalysis.LongestUncutSeconds);
        var noise = Noise(whole, block, window, grid);
        var limits = TakeLimits.OfRecordedImpulse(window, gate, whole.SampleRateHz);
        return new TakeAnalysis(result, uncut, window.Cut(whole, arrival.Seconds), window, grid, noise?.Total ?? [], (double)block.Length / reading.SampleRateHz, [], limits)
            .WithNoise(noise, whole, arrival.Seconds);
    }

    /// <summary>The quiet before the onset, or the last tenth of the record.</summary>
    private static ReadOnlySpan<double> QuietBlock(ImpulseResponse whole, Arrival arrival)
    {
        var quiet = (int)(whole.TimeZeroSamples + (arrival.Seconds - QuietGuardSeconds) * whole.SampleRateHz);
        return quiet >= ShortestQuietSeconds * whole.SampleRateHz ? whole.Samples[..quiet] : whole.Samples[(int)(whole.Length * (1 - NoisePart))..];
    }

    /// <summary>Noise of a quiet block; nothing where there is none.</summary>
    private static MeasurementNoise? Noise(ImpulseResponse whole, ReadOnlySpan<double> block, ImpulseWindow window, LogGrid grid)
    {
        if (block.Length < 2) return null;
        var taper = Window.Hann(block.Length);
        var energy = 0.0;
        for (var n = 0; n < taper.Length; n++)
        {
            energy += taper[n] * taper[n];
            taper[n] *= block[n];
        }
        var length = StimulusSpectrum.EvenLength(8 * block.Length);   // eight bins to a resolution cell, so that no line falls between two
        var density = StimulusSpectrum.Powers(FourierTransform.OfReal(taper, length));
        for (var k = 0; k < density.Length; k++) density[k] /= energy;
        var step = TakeReading.Step(whole.Samples);   // a padded or rounded record is noisy too
        return MeasurementNoise.Of(density, [], (double)whole.SampleRateHz / length, block.Length, double.IsFinite(step) ? step : 0, window, whole.SampleRateHz, grid);
    }
}
