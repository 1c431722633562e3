// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Microphones;

/// <summary>By how much a microphone changed between two of its calibrations, octave by octave.</summary>
/// <remarks>
/// Both curves are matched over a middle band first: their difference there, the mean over log frequency, is a change of sensitivity or of the file's zero, and no change of shape. The
/// drift of an octave is the mean, over log frequency, of newer less older where both files state a value, at least two thirds of the octave.
/// Misleads where the two were made differently: at another angle of incidence, in another coupler or field, by another laboratory. What looks like ageing may then be method.
/// Source: own definition; that calibrations are renewed about every five years is common practice, no source.
/// </remarks>
public sealed class CalibrationDrift
{
    /// <summary>After so many years a calibration is renewed: common practice, no source.</summary>
    internal const int RenewedAfterYears = 5;

    private const int PointsPerOctave = 48;
    private const double DaysPerYear = 365.25, LeastYears = 0.5;   // a change within half a year is method, not age: own choice
    private static readonly TrustedBand s_none = new(double.NaN, double.NaN, default, default);

    private CalibrationDrift(TrustedBand band, DateOnly? olderDate, DateOnly? newerDate, double offsetDb, double uncertaintyDb, IReadOnlyList<BandDeviation> octaves)
    {
        (Band, OlderDate, NewerDate, OffsetDb, UncertaintyDb, Octaves) = (band, olderDate, newerDate, offsetDb, uncertaintyDb, octaves);
        Years = (newerDate?.DayNumber - olderDate?.DayNumber) / DaysPerYear ?? double.NaN;
    }

    /// <summary>The frequencies that both files state.</summary>
    public TrustedBand Band { get; }

    /// <summary>Day of the older calibration, or null.</summary>
    public DateOnly? OlderDate { get; }

    /// <summary>Day of the newer calibration, or null.</summary>
    public DateOnly? NewerDate { get; }

    /// <summary>Years between the two; NaN where a date is missing.</summary>
    public double Years { get; }

    /// <summary>By how many decibels the newer file lies above the older one over the middle band; taken off the octaves.</summary>
    public double OffsetDb { get; }

    /// <summary>± decibels of the difference, coverage factor 2, from the uncertainties of both; NaN where one is not known.</summary>
    public double UncertaintyDb { get; }

    /// <summary>Newer less older, octave by octave, rising; the repeatability is <see cref="UncertaintyDb"/>. Octaves that the two do not share say so.</summary>
    public IReadOnlyList<BandDeviation> Octaves { get; }

    /// <summary>The same in decibels per year.</summary>
    /// <param name="octave">One of <see cref="Octaves"/>.</param>
    /// <returns>Decibels per year; NaN where a date is missing, the octave has no number, or less than half a year lies between: so short a time says nothing about a year.</returns>
    /// <remarks>Misleads as a forecast: membranes do not age in a straight line. Own definition.</remarks>
    public double PerYearDb(BandDeviation octave) => Years >= LeastYears ? octave.DeviationDb / Years : double.NaN;

    /// <summary>What to say about the age of the newer calibration on a day.</summary>
    /// <param name="on">The day that is asked about.</param>
    /// <returns>A sentence from five years on (common practice, no source); empty before, and where the newer file's date is not known.</returns>
    /// <remarks>Age says when to look again, and not that anything changed. Source: common practice, no source.</remarks>
    public string Reminder(DateOnly on) => AgeYears(NewerDate, on) is >= RenewedAfterYears and var years
        ? FormattableString.Invariant($"The newer calibration is {years:0.0} years old; calibrations are renewed about every {RenewedAfterYears} years.")
        : "";

    internal static double AgeYears(DateOnly? calibrated, DateOnly on) => (on.DayNumber - calibrated?.DayNumber) / DaysPerYear ?? double.NaN;

    /// <summary>Compares two calibrations of one microphone.</summary>
    /// <param name="older">The older one.</param>
    /// <param name="newer">The newer one.</param>
    /// <param name="olderDate">Day of the older one; where null, the date that its header states if this program wrote it.</param>
    /// <param name="newerDate">Day of the newer one; likewise.</param>
    /// <param name="olderSign">What the older file states.</param>
    /// <param name="newerSign">What the newer file states.</param>
    /// <param name="matchFromHz">Lower end of the middle band, in (0, ∞) hertz.</param>
    /// <param name="matchToHz">Upper end of the middle band, above the lower one, in hertz.</param>
    /// <exception cref="ArgumentException">The newer one is dated before the older one; the files share no frequencies; they share less than two thirds of the middle band.</exception>
    /// <exception cref="ArgumentOutOfRangeException">The middle band is outside its interval.</exception>
    /// <remarks>The uncertainties are read from headers that this program wrote; of other files they are not known. For what misleads, and the source, see the class.</remarks>
    public static CalibrationDrift Between(
        CalibrationCurve older, CalibrationCurve newer, DateOnly? olderDate = null, DateOnly? newerDate = null, CalibrationSign olderSign = CalibrationSign.Response,
        CalibrationSign newerSign = CalibrationSign.Response, double matchFromHz = MicrophoneComparison.UsualMatchFromHz, double matchToHz = MicrophoneComparison.UsualMatchToHz)
    {
        ArgumentNullException.ThrowIfNull(older);
        ArgumentNullException.ThrowIfNull(newer);
        if (!(matchFromHz > 0 && double.IsFinite(matchFromHz))) throw new ArgumentOutOfRangeException(nameof(matchFromHz), matchFromHz, "Must be in (0, ∞) Hz.");
        if (!(matchToHz > matchFromHz && double.IsFinite(matchToHz))) throw new ArgumentOutOfRangeException(nameof(matchToHz), matchToHz, FormattableString.Invariant($"Must be in ({matchFromHz}, ∞) Hz."));
        (olderDate, newerDate) = (olderDate ?? CalibrationHeader.DateOf(older), newerDate ?? CalibrationHeader.DateOf(newer));
        if (newerDate < olderDate)
            throw new ArgumentException(FormattableString.Invariant($"{newer.File} ({newerDate:yyyy-MM-dd}) is given as the newer calibration and is dated before {older.File} ({olderDate:yyyy-MM-dd}); exchange the two."), nameof(newerDate));
        var (fromHz, toHz) = (Math.Max(older.FromHz, newer.FromHz), Math.Min(older.ToHz, newer.ToHz));
        var band = fromHz < toHz ? new TrustedBand(fromHz, toHz, default, default) : s_none;
        if (band.IsEmpty)
            throw new ArgumentException($"{older.File} ({Words(older)}) and {newer.File} ({Words(newer)}) share no frequencies, so nothing can be compared.", nameof(newer));
        if (Mean(matchFromHz, matchToHz) is not { } offset)
            throw new ArgumentException($"{older.File} and {newer.File} share {band.Words}, which is less than two thirds of the middle band of {new TrustedBand(matchFromHz, matchToHz, default, default).Words} over which they are matched; name another middle band.", nameof(matchFromHz));
        var uncertainty = Math.Sqrt(Math.Pow(CalibrationHeader.UncertaintyDbOf(older), 2) + Math.Pow(CalibrationHeader.UncertaintyDbOf(newer), 2));
        return new(band, olderDate, newerDate, offset, uncertainty, [.. FrequencyBand.Octaves(fromHz / 2, toHz * 2).Where(octave => octave.UpperHz > fromHz && octave.LowerHz < toHz).Select(Octave)]);

        BandDeviation Octave(FrequencyBand octave) => Mean(octave.LowerHz, octave.UpperHz) is { } mean
            ? new(octave, mean - offset, uncertainty, Math.Abs(mean - offset) > Math.Max(uncertainty, MicrophoneComparison.SmallestDb), "")
            : new(octave, double.NaN, double.NaN, false, $"less than two thirds of it are in both files, which share {band.Words}");

        double? Mean(double lowHz, double highHz)
        {
            var all = (int)Math.Ceiling(PointsPerOctave * Math.Log2(highHz / lowHz));
            var inside = Enumerable.Range(0, all).Select(n => lowHz * Math.Pow(highHz / lowHz, (n + 0.5) / all)).Where(band.Contains).ToList();
            return inside.Count >= ComparedLevels.LeastShare * all ? inside.Average(hz => older.CorrectionDbAt(hz, olderSign) - newer.CorrectionDbAt(hz, newerSign)) : null;
        }

        static string Words(CalibrationCurve curve) => new TrustedBand(curve.FromHz, curve.ToHz, default, default).Words;
    }
}
