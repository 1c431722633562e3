// SPDX-License-Identifier: MIT
using System.Globalization;
using MathNet.Numerics.Statistics;
using Sweepbook.Files;
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Microphones;

/// <summary>A microphone's deviation from flat over frequency, as its file states it.</summary>
/// <remarks>
/// Between its points straight lines in dB over the logarithm of frequency; outside them held flat, which is a guess: see <see cref="Contains"/>.
/// Own convention (design, calibration text); it needs no source.
/// </remarks>
public sealed class CalibrationCurve
{
    /// <summary>A median farther from 0 dB is asked about: a deviation from flat lies near 0, an absolute sensitivity near −40.</summary>
    internal const double FarFromZeroDb = 10;

    private readonly CalibrationPoint[] _points;
    private readonly double[] _logHz;

    private CalibrationCurve(string file, CalibrationPoint[] points, IReadOnlyList<string> notes)
    {
        (File, _points, Notes) = (file, points, notes);
        _logHz = [.. points.Select(point => Math.Log(point.FrequencyHz))];
        Findings = FindingsOf(file, points);
    }

    /// <summary>The file as the user knows it.</summary>
    public string File { get; }

    /// <summary>Lines that do not start with a number, in their order.</summary>
    public IReadOnlyList<string> Notes { get; }

    /// <summary>What has to be asked: whether a curve far from 0 dB is an absolute sensitivity.</summary>
    public IReadOnlyList<Finding> Findings { get; }

    /// <summary>Number of points, at least 2.</summary>
    public int Count => _points.Length;

    /// <summary>Point <paramref name="k"/>, counted from 0, frequencies rising.</summary>
    public CalibrationPoint this[int k] => _points[k];

    /// <summary>Lowest frequency of the file in hertz.</summary>
    public double FromHz => _points[0].FrequencyHz;

    /// <summary>Highest frequency of the file in hertz.</summary>
    public double ToHz => _points[^1].FrequencyHz;

    /// <summary>True where the file states a phase.</summary>
    public bool HasPhase => !double.IsNaN(_points[0].PhaseDegrees);

    /// <summary>Reads a calibration file: lines of frequency in Hz, level in dB and optionally phase in degrees.</summary>
    /// <param name="path">Where it is.</param>
    /// <param name="shownAs">What the user calls it, for faults; the path where null.</param>
    /// <returns>Its points by rising frequency. A row at 0 Hz is skipped; rows at one frequency that differ by 0.1 dB at most are merged to their mean.</returns>
    /// <exception cref="DataFault">
    /// Not readable; a falling frequency; one frequency with two levels; fewer than two points; a value that is no finite number or out of range; with the line.
    /// </exception>
    /// <remarks>
    /// Misleads where the file states a correction and the survey says response (or the reverse): every error is then doubled. The file cannot tell.
    /// </remarks>
    public static CalibrationCurve Read(string path, string? shownAs = null)
    {
        var table = NumberColumns.Read(path, shownAs);
        return new(table.File, CalibrationRows.Points(table), [.. table.Notes.Select(note => note.Text)]);
    }

    /// <summary>True inside the frequencies of the file, ends included; elsewhere the shape is not calibrated.</summary>
    /// <param name="frequencyHz">Frequency in hertz.</param>
    public bool Contains(double frequencyHz) => frequencyHz >= FromHz && frequencyHz <= ToHz;

    /// <summary>What the file says at a frequency, with the file's own sign.</summary>
    /// <param name="frequencyHz">Frequency in [0, ∞) hertz.</param>
    /// <returns>Decibels; straight lines over log frequency inside, the nearest end outside.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Negative, infinite or NaN.</exception>
    public double LevelDbAt(double frequencyHz) => At(frequencyHz, point => point.LevelDb);

    /// <summary>The phase that the file states at a frequency.</summary>
    /// <param name="frequencyHz">Frequency in [0, ∞) hertz.</param>
    /// <returns>Degrees, continuous; straight lines over log frequency inside, the nearest end outside; NaN where the file has no phase.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Negative, infinite or NaN.</exception>
    /// <remarks>Misleads where two points lie more than half a turn apart: the short way is then the wrong one.</remarks>
    public double PhaseDegreesAt(double frequencyHz) => At(frequencyHz, point => point.PhaseDegrees);

    /// <summary>The decibels to add to a reading so that the microphone is taken out of it.</summary>
    /// <param name="frequencyHz">Frequency in [0, ∞) hertz.</param>
    /// <param name="sign">What the file states: the microphone's response (subtracted here) or the correction (added as it is).</param>
    /// <returns>Decibels to add: a response file that says +1.5 dB at 875 Hz gives −1.5 dB there.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The frequency is negative, infinite or NaN.</exception>
    public double CorrectionDbAt(double frequencyHz, CalibrationSign sign) => sign switch
    {
        CalibrationSign.Response => -LevelDbAt(frequencyHz),
        CalibrationSign.Correction => LevelDbAt(frequencyHz),
        _ => throw new ArgumentOutOfRangeException(nameof(sign), sign, "Must be Response or Correction."),
    };

    private double At(double frequencyHz, Func<CalibrationPoint, double> value)
    {
        if (!(frequencyHz >= 0 && double.IsFinite(frequencyHz)))
            throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, "Must be in [0, ∞) Hz.");
        if (frequencyHz <= FromHz) return value(_points[0]);
        if (frequencyHz >= ToHz) return value(_points[^1]);
        var logHz = Math.Log(frequencyHz);
        var found = Array.BinarySearch(_logHz, logHz);
        if (found >= 0) return value(_points[found]);
        var above = Math.Clamp(~found, 1, _points.Length - 1);
        var share = (logHz - _logHz[above - 1]) / (_logHz[above] - _logHz[above - 1]);
        var (low, high) = (value(_points[above - 1]), value(_points[above]));
        return low + share * (high - low);
    }

    private static IReadOnlyList<Finding> FindingsOf(string file, CalibrationPoint[] points)
    {
        var median = points.Select(point => point.LevelDb).Median();
        return Math.Abs(median) <= FarFromZeroDb ? []
            : [new("calibration-median", Severity.Caution, file, median, "dB", string.Create(CultureInfo.InvariantCulture,
                $"The calibration {file} lies around {median:0.0} dB. Is that an absolute sensitivity? It shifts every level by that much; a deviation from flat lies near 0 dB."))];
    }
}
