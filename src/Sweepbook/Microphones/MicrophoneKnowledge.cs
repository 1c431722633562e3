// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Microphones;

/// <summary>What is known about a microphone at one frequency, whatever was recorded with it.</summary>
/// <param name="StandardDb">Normal part of the uncertainty, standard deviation in decibels; NaN where nothing is known.</param>
/// <param name="LimitsDb">Part of which only limits are known, half width in decibels.</param>
/// <param name="ErrorDb">Known error: the significant deviation from the reference; 0 where there is none.</param>
/// <param name="Limit">Whose limit it is where nothing is known, or where what is known is not enough.</param>
/// <param name="Words">What to say where it limits: "its data sheet promises no better than ± 4 dB".</param>
internal readonly record struct MicrophoneKnowledge(double StandardDb, double LimitsDb, double ErrorDb, RangeLimit Limit, string Words)
{
    internal bool IsKnown => !double.IsNaN(StandardDb);

    internal double HalfWidthDb => Coverage.HalfWidth(StandardDb, LimitsDb);

    /// <summary>By how much readings may be off, repeatability (± decibels, 95 %) included.</summary>
    internal double OffDb(double repeatabilityDb)
    {
        var half = repeatabilityDb / Coverage.Factor;
        return Math.Abs(ErrorDb) + Coverage.HalfWidth(Math.Sqrt(StandardDb * StandardDb + half * half), LimitsDb);
    }

    private static MicrophoneKnowledge Nothing(RangeLimit limit, string words) => new(double.NaN, 0, 0, limit, words);

    /// <summary>The best that is known at grid point <paramref name="k"/>.</summary>
    internal static MicrophoneKnowledge At(RangeEvidence evidence, int k)
    {
        var frequencyHz = evidence.Grid[k];
        var own = OfStated(evidence.Stated, frequencyHz);
        if (evidence.ReferenceStandardDb.Length == 0 || double.IsNaN(evidence.ReferenceStandardDb[k])) return own;
        var band = FrequencyBand.ThirdOctaveAt(frequencyHz);
        var deviation = evidence.Deviations.FirstOrDefault(entry => entry.Band == band);
        if (deviation.Band != band || !deviation.IsGiven || double.IsNaN(deviation.RepeatabilityDb)) return own;
        var compared = Compared(deviation, evidence.Reference, evidence.ReferenceStandardDb[k]);
        return deviation.IsSignificant || !own.IsKnown || compared.HalfWidthDb < own.HalfWidthDb ? compared : own;
    }

    private static MicrophoneKnowledge Compared(BandDeviation deviation, string reference, double referenceStandardDb)
    {
        var openDb = deviation.IsSignificant ? deviation.RepeatabilityDb : Math.Max(deviation.RepeatabilityDb, Math.Abs(deviation.DeviationDb));
        var standard = Math.Sqrt(referenceStandardDb * referenceStandardDb + openDb * openDb / (Coverage.Factor * Coverage.Factor));
        return deviation.IsSignificant
            ? new(standard, 0, deviation.DeviationDb, RangeLimit.Microphone, Text(
                $"it reads {Math.Abs(deviation.DeviationDb):0.0} dB {(deviation.DeviationDb > 0 ? "more" : "less")} than {reference} in the third octave at {Hertz(deviation.Band.NominalHz)}"))
            : new(standard, 0, 0, RangeLimit.Measurement, Text($"the comparison with {reference} leaves ± {Coverage.Factor * standard:0.0} dB open"));
    }

    private static MicrophoneKnowledge OfStated(StatedRange stated, double frequencyHz)
    {
        if (frequencyHz >= stated.CalibrationFromHz && frequencyHz <= stated.CalibrationToHz)
            return new(stated.CalibrationStandardDb, 0, 0, RangeLimit.Microphone, Text($"its calibration leaves ± {Coverage.Factor * stated.CalibrationStandardDb:0.0} dB open"));
        if (frequencyHz < stated.LowestHz) return Nothing(RangeLimit.Microphone, $"its data sheet ends at {Hertz(stated.LowestHz.Value)}");
        if (frequencyHz > stated.HighestHz) return Nothing(RangeLimit.Microphone, $"its data sheet ends at {Hertz(stated.HighestHz.Value)}");
        if (frequencyHz < stated.CalibrationFromHz && stated.LowestHz is null) return Nothing(RangeLimit.Unknown, $"its calibration ends at {Hertz(stated.CalibrationFromHz.Value)}");
        if (frequencyHz > stated.CalibrationToHz && stated.HighestHz is null) return Nothing(RangeLimit.Unknown, $"its calibration ends at {Hertz(stated.CalibrationToHz.Value)}");
        if (stated.ToleranceDb is { } tolerance) return new(0, tolerance, 0, RangeLimit.Microphone, Text($"its data sheet promises no better than ± {tolerance:0.#} dB"));
        return Nothing(RangeLimit.Unknown, (stated.HasCalibration, stated.HasDataSheet) switch
        {
            (_, true) => "its data sheet states no tolerance",
            (true, false) => "its calibration ends before",
            _ => "it has neither a calibration nor a data sheet",
        });
    }

    /// <summary>"22 Hz", "4.6 kHz".</summary>
    internal static string Hertz(double frequencyHz) => new TrustedBand(frequencyHz, frequencyHz, default, default).Words;

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
