// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Numerics;
using System.Text;
using Sweepbook.Files;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Responses as plain text for other programs, and theirs for this one: rows of frequency in hertz, level in decibels and phase in degrees.</summary>
/// <remarks>
/// Lines that begin with # say what the numbers mean. UTF-8, lines ended by LF, decimal points; columns separated by one blank.
/// Misleads where phases of different files are compared: each file has its own time zero unless its lines say otherwise. Own layout; it needs no source.
/// </remarks>
public static class ResponseText
{
    private const int PointsPerOctave = StudyContext.PointsPerOctave;
    private const double PrintedRatio = 1e-6;   // a frequency of the grid that was printed and read is the same frequency
    private const string ReferenceLine = "# level: decibels ";

    /// <summary>Writes the rows whose level may be believed, in rising frequency: level of the grid cell, and phase at exactly that frequency.</summary>
    /// <param name="path">Where it goes; a file there is replaced.</param>
    /// <param name="response">The response; its grid gives the rows.</param>
    /// <param name="title">What it is, one line.</param>
    /// <param name="timeZero">How its time zero is known; for an unknown one there is no phase column.</param>
    /// <exception cref="ArgumentException">No level of the response is believed, so there is nothing to write.</exception>
    /// <exception cref="DataFault">The disk refuses.</exception>
    /// <remarks>
    /// Frequencies in 6, levels in 4, phases in 3 decimals. Misleads where it is read without its first lines: outside of the believed phase band the third column
    /// holds numbers all the same. Own layout.
    /// </remarks>
    public static void Write(string path, Response response, string title, TimeZero timeZero)
    {
        ArgumentNullException.ThrowIfNull(response);
        ArgumentNullException.ThrowIfNull(title);
        if (response.LevelTrust.LongestBand().IsEmpty) throw new ArgumentException("No level of it is believed; at least one must be.", nameof(response));
        AtomicFile.Write(path, stream => stream.Write(Encoding.UTF8.GetBytes(Text(response, title, timeZero))));
    }

    /// <summary>Reads a response that was measured or computed elsewhere, onto the grid that all responses share.</summary>
    /// <param name="path">A text file with two or three columns; lines that do not begin with a number are headers.</param>
    /// <returns>
    /// Levels on straight lines over log frequency, phases on straight lines over frequency, from the first row to the last. It belongs to no time group, so it is
    /// never added to anything; without a phase column, or where the phase cannot be followed from row to row, no phase is believed. Noise is unknown.
    /// </returns>
    /// <exception cref="DataFault">Missing or no text, wrong columns, falling frequencies, a number that no response has, or rows closer than the grid; with file and line.</exception>
    /// <remarks>Misleads where the rows are far apart: what lies between them is a straight line here and was something else there. Own layout; it needs no source.</remarks>
    public static Response Read(string path)
    {
        var rows = ResponseRows.Read(path);
        var grid = LogGrid.Between(PointsPerOctave, rows.LowestHz * (1 - PrintedRatio), rows.HighestFrequencyHz * (1 + PrintedRatio));
        if (grid.Count == 0) throw new DataFault(path, null, FormattableString.Invariant($"its rows, {rows.LowestHz} to {rows.HighestFrequencyHz} Hz, lie too close together"), "Give it a wider range of frequencies.");
        var (values, power, noise) = (new Complex[grid.Count], new double[grid.Count], new double[grid.Count]);
        for (var k = 0; k < grid.Count; k++)
        {
            var size = Decibels.ToAmplitudeRatio(rows.LevelDbAt(grid[k]));
            values[k] = rows.HasPhase ? Complex.FromPolarCoordinates(size, rows.PhaseDegreesAt(grid[k]) * Math.PI / 180) : size;
            (power[k], noise[k]) = (size * size, double.NaN);
        }
        var phase = rows.HasPhase && rows.Unfollowed is null
            ? Reason.Remark("phase as read from a text file, relative to the time zero of that file")
            : new Reason(Doubt.TimeZero, rows.Unfollowed is { } step ? PhaseStep(step) : "the text file has no phase");
        var level = Reason.Remark("level as read from a text file; its noise is not known");
        return new(grid, values, power, noise, new bool[grid.Count], Everywhere(grid, level), Everywhere(grid, phase), TimeGroup.None, ReferenceOf(rows.Notes));
    }

    /// <summary>Why a phase cannot be followed, as a sentence without a full stop.</summary>
    internal static string PhaseStep((double FrequencyHz, double StepDegrees, double StepHz) step) => FormattableString.Invariant(
        $"the phase steps by {Math.Abs(step.StepDegrees):0}° within {step.StepHz:0.##} Hz at {step.FrequencyHz:0.#} Hz, so that whole turns between the rows could not be told from none");

    private static string Text(Response response, string title, TimeZero timeZero)
    {
        var (levels, phases) = (response.LevelTrust.LongestBand(), response.PhaseTrust.LongestBand());
        var hasPhase = timeZero != TimeZero.Unknown && !phases.IsEmpty;
        var text = new StringBuilder($"# {OneLine(title)}\n{ReferenceLine}{response.LevelReference}; microphone calibration subtracted\n");
        text.Append(CultureInfo.InvariantCulture, $"# believed from {levels.FromHz:0.###} to {levels.ToHz:0.###} Hz; rows that are not believed are left out\n");
        text.Append(hasPhase
            ? string.Create(CultureInfo.InvariantCulture, $"# phase: degrees, a delay falls; time zero by {timeZero.ToString().ToLowerInvariant()}, time group {response.TimeGroup}; believed from {phases.FromHz:0.###} to {phases.ToHz:0.###} Hz\n")
            : "# phase: left out, because the time zero is not known well enough\n");
        text.Append(hasPhase ? "# frequency_hz level_db phase_deg\n" : "# frequency_hz level_db\n");
        foreach (var point in response.Points().Where(point => levels.Contains(point.FrequencyHz) && point.TrustedLevel))
        {
            text.Append(CultureInfo.InvariantCulture, $"{point.FrequencyHz:0.000000} {point.LevelDb:0.0000}");
            if (hasPhase) text.Append(CultureInfo.InvariantCulture, $" {point.PhaseDegrees:0.000}");
            text.Append('\n');
        }
        return text.ToString();
    }

    private static LevelReference ReferenceOf(IReadOnlyList<string> notes)
    {
        var line = notes.FirstOrDefault(note => note.StartsWith(ReferenceLine, StringComparison.Ordinal)) ?? "";
        return line.Contains("relative to the loopback", StringComparison.Ordinal) ? LevelReference.Loopback
            : line.Contains("relative to the stimulus", StringComparison.Ordinal) ? LevelReference.Stimulus
            : line.Contains("re 20 µPa", StringComparison.Ordinal) ? LevelReference.SoundPressure
            : LevelReference.Recording;
    }

    private static TrustMask Everywhere(LogGrid grid, Reason reason) => new(grid.FrequenciesHz, Enumerable.Repeat(reason, grid.Count).ToArray());

    private static string OneLine(string text) => new([.. text.Select(letter => char.IsControl(letter) ? ' ' : letter)]);
}
