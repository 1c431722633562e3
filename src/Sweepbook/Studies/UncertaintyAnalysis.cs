// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Transforms;

namespace Sweepbook.Studies;

/// <summary>Judges how far the levels of a response may be off: repeatability from its repeats or its noise, and the parts that all repeats share.</summary>
internal static class UncertaintyAnalysis
{
    /// <summary>The same response with its uncertainty. A censored level is an upper bound and gets none: no interval round it would be symmetric.</summary>
    internal static Response Judged(Response response, ResponseAnalysis.Gathered gathered, StudyContext context)
    {
        var take = gathered.Repeats[0].Result.Take;
        var grid = response.Grid;
        var basis = gathered.Repeats.Count > 1 ? RepeatabilityBasis.Repeats : RepeatabilityBasis.Noise;
        var repeatability = basis == RepeatabilityBasis.Repeats ? OfRepeats(gathered) : OfNoise(response, gathered);
        var microphone = UncertaintyOfMicrophone.StandardDb(context.Survey.Microphone(take.Microphone), context.CalibrationOf(take), grid);
        var position = UncertaintyOfPosition.StandardDb(take, response, context.SpeedOfSoundMetresPerSecond);
        var temperature = UncertaintyOfTemperature.StandardDb(take.Field, response.LevelsDb(), grid,
            context.Survey.Room?.TemperatureCelsius ?? Air.DefaultTemperatureCelsius);
        var level = UncertaintyOfLevel.StandardDb(take, context);
        var uncertainty = new LevelUncertainty[grid.Count];
        for (var k = 0; k < uncertainty.Length; k++)
            uncertainty[k] = response[k].IsCensored || double.IsNaN(repeatability[k])
                ? LevelUncertainty.Unknown
                : new(repeatability[k], basis, microphone[k], position[k], temperature[k]) { LevelDb = level };
        return response.With(uncertainty);
    }

    private static double[] OfRepeats(ResponseAnalysis.Gathered gathered)
    {
        var length = StimulusSpectrum.EvenLength(gathered.Mean.Length);
        var spectra = RepeatMean.Aligned([.. gathered.Repeats.Select(repeat => repeat.Windowed!)]).Select(samples => FourierTransform.OfReal(samples, length)).ToList();
        return Repeatability.OfRepeats(spectra, ResolutionOf(gathered, length), gathered.Grid, gathered.Spectrum.CellPower);
    }

    private static double[] OfNoise(Response response, ResponseAnalysis.Gathered gathered)
    {
        var silence = gathered.Repeats[0].SilenceSeconds;
        var points = response.Points().ToList();
        return Repeatability.OfNoise([.. points.Select(point => point.NoisePowerRatio)], frequencyHz => NoiseMargin.FreedomAt(frequencyHz, silence),
            ResolutionOf(gathered, StimulusSpectrum.EvenLength(gathered.Mean.Length)), gathered.Grid, [.. points.Select(point => point.PowerRatio)]);
    }

    private static Resolution ResolutionOf(ResponseAnalysis.Gathered gathered, int length)
    {
        double rate = gathered.Mean.SampleRateHz;
        return new(gathered.Repeats[0].Window.EnergySamples(gathered.Mean.SampleRateHz) / rate, rate / length);
    }
}
