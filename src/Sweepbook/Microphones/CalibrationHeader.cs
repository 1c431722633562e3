// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Trust;

namespace Sweepbook.Microphones;

/// <summary>The lines above the numbers of a calibration that was carried over, and what can be read from them again.</summary>
/// <remarks>Every line begins with #, so none is taken for a row of numbers. Own convention; it needs no source.</remarks>
internal static class CalibrationHeader
{
    internal static IEnumerable<string> Lines(TransferCalibration file, MicrophoneComparison comparison, ComparisonFacts facts)
    {
        yield return $"# Calibration of {OneLine(file.Microphone)} by substitution";
        yield return "# What the microphone adds, in dB over Hz: positive where it reads too much (calibration_sign = \"response\"); 0 dB on the mean of the middle band";
        yield return $"# Reference: {OneLine(file.Reference)}, {(facts.ReferenceFile is { } used ? $"with its calibration {OneLine(used)}{(facts.ReferenceCalibratedOn is { } day ? $" of {Day(day)}" : ", date not stated")}" : "without a calibration: its own deviations are in this file")}";
        yield return $"{TransferCalibration.DateNote}{(facts.MeasuredOn is { } measured ? Day(measured) : "not stated")}";
        yield return $"# Place: {(comparison.Place.Length > 0 ? OneLine(comparison.Place) : "not stated")}";
        yield return $"# Band: {file.Band.Words}; nothing is known beyond";
        yield return $"# Matched from {new TrustedBand(comparison.MatchFromHz, comparison.MatchToHz, default, default).Words}, smoothed over 1/6 octave";
        yield return double.IsNaN(file.UncertaintyDb)
            ? $"{TransferCalibration.UncertaintyNote}not known in part of the band: nothing is stated about the reference's response there, or the noise is not known"
            : FormattableString.Invariant($"{TransferCalibration.UncertaintyNote}± {file.UncertaintyDb:0.00} dB at most (coverage factor 2)");
        if (comparison.IsNoiseOnly) yield return $"# The reference was read once: how well a microphone stands in the same place again is not in the uncertainty";
        if (file.Octaves.Count > 0)
            yield return $"# Uncertainty by octave: {string.Join("; ", file.Octaves.Select(octave => double.IsNaN(octave.RepeatabilityDb) ? $"{octave.Band.Label} Hz not known" : FormattableString.Invariant($"{octave.Band.Label} Hz ± {octave.RepeatabilityDb:0.00} dB")))}";
    }

    /// <summary>The day that such a header states, or null.</summary>
    internal static DateOnly? DateOf(CalibrationCurve curve) =>
        After(curve, TransferCalibration.DateNote) is { } text && DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var day) ? day : null;

    /// <summary>The largest expanded uncertainty that such a header states, in decibels; NaN where it states none.</summary>
    internal static double UncertaintyDbOf(CalibrationCurve curve) =>
        After(curve, TransferCalibration.UncertaintyNote) is { } text && text.StartsWith("± ", StringComparison.Ordinal)
            && double.TryParse(text.AsSpan(2, Math.Max(0, text.IndexOf(" dB", StringComparison.Ordinal) - 2)), NumberStyles.Float, CultureInfo.InvariantCulture, out var db) ? db : double.NaN;

    private static string? After(CalibrationCurve curve, string start) => curve.Notes.FirstOrDefault(note => note.StartsWith(start, StringComparison.Ordinal))?[start.Length..].Trim();

    private static string Day(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static string OneLine(string text) => string.Concat(text.Select(letter => char.IsControl(letter) ? ' ' : letter));
}
