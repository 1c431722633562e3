// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Sweepbook.Files;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;

namespace Sweepbook.Microphones;

/// <summary>A calibration carried over from a reference microphone to another one by substitution, ready to be written as a file.</summary>
/// <remarks>
/// The values say what the microphone adds (positive where it reads too much), so a survey names the file with <c>calibration_sign = "response"</c>.
/// Uncertainty of an octave: U = 2 · √((R/2)² + u²), R the repeatability of the deviation (95 %), u the standard uncertainty of the reference's response; coverage factor 2.
/// Misleads outside its band: a curve is held flat there, which is a guess. Source: JCGM 100:2008 (GUM) 5.1 and 6.2; the rest beside <see cref="MicrophoneComparison.Calibration"/>.
/// </remarks>
public sealed class TransferCalibration
{
    internal const string DateNote = "# Date: ", UncertaintyNote = "# Uncertainty: ";

    private const int PointsPerOctave = 12, SmoothedFraction = 6;
    private const double CoverageFactor = 2;
    private readonly CalibrationPoint[] _points;

    private TransferCalibration(CalibrationPoint[] points, IReadOnlyList<BandDeviation> octaves, MicrophoneComparison comparison, ComparisonFacts facts)
    {
        (_points, Octaves, Microphone, Reference) = (points, octaves, comparison.Tested, comparison.Reference);
        Band = comparison.Band with { FromHz = points[0].FrequencyHz, ToHz = points[^1].FrequencyHz };
        MeasuredOn = facts.MeasuredOn;
        UncertaintyDb = octaves.Select(octave => octave.RepeatabilityDb).DefaultIfEmpty(double.NaN).Max();
        if (octaves.Any(octave => double.IsNaN(octave.RepeatabilityDb))) UncertaintyDb = double.NaN;
        Header = [.. CalibrationHeader.Lines(this, comparison, facts)];
    }

    /// <summary>Id of the microphone that it is for.</summary>
    public string Microphone { get; }

    /// <summary>Id of the microphone that it was carried over from.</summary>
    public string Reference { get; }

    /// <summary>Its frequencies; it says nothing beyond.</summary>
    public TrustedBand Band { get; }

    /// <summary>Day of the comparison, or null.</summary>
    public DateOnly? MeasuredOn { get; }

    /// <summary>The deviation of each octave inside the band, the repeatability being its expanded uncertainty, coverage factor 2; NaN where nothing is stated about the reference, or where it was read once and its noise is not known.</summary>
    public IReadOnlyList<BandDeviation> Octaves { get; }

    /// <summary>The largest expanded uncertainty of an octave, ± decibels, coverage factor 2; NaN where that of an octave is not known.</summary>
    public double UncertaintyDb { get; }

    /// <summary>The lines above the numbers, each beginning with #.</summary>
    public IReadOnlyList<string> Header { get; }

    /// <summary>Number of points, at least 2.</summary>
    public int Count => _points.Length;

    /// <summary>Point <paramref name="k"/>, counted from 0, frequencies rising; it has no phase.</summary>
    public CalibrationPoint this[int k] => _points[k];

    /// <summary>Writes the file: the header, then one line of frequency in Hz and level in dB for each point.</summary>
    /// <param name="path">Where it goes; missing folders are made.</param>
    /// <exception cref="DataFault">A file of that name exists already: calibrations are never overwritten; or the system refuses.</exception>
    /// <remarks>UTF-8, line feeds, invariant culture: equal bytes on every machine. <see cref="CalibrationCurve.Read"/> reads it. Own convention; it needs no source.</remarks>
    public void Write(string path)
    {
        var text = new StringBuilder();
        foreach (var line in Header) text.Append(line).Append('\n');
        foreach (var point in _points) text.Append(CultureInfo.InvariantCulture, $"{point.FrequencyHz:0.000}\t{point.LevelDb:0.000}\n");
        AtomicFile.Create(path, stream => stream.Write(Encoding.UTF8.GetBytes(text.ToString())));
    }

    internal static TransferCalibration Of(MicrophoneComparison comparison, ComparedLevels levels, ComparisonFacts facts)
    {
        var undone = new double[levels.Grid.Count];
        for (var k = 0; k < undone.Length; k++) undone[k] = Decibels.ToPowerRatio(-facts.TestedCorrectionDbAt(levels.Grid[k]));
        var (tested, reference) = (MeanPower(levels, levels.Tested), MeanPower(levels, levels.Reference));
        for (var k = 0; k < undone.Length; k++) tested[k] *= undone[k];
        int[] cells = [.. Enumerable.Range(0, undone.Length).Where(k => levels.Trust[k] && comparison.Band.Contains(levels.Grid[k]))];
        var difference = new Dictionary<int, double>();
        foreach (var k in cells) difference[k] = SmoothedDb(k);
        // A gap may part the middle band from the file's band: what the microphone adds there counts as it is.
        var middle = Enumerable.Range(0, undone.Length).Where(k => levels.Trust[k] && levels.Grid[k] >= comparison.MatchFromHz && levels.Grid[k] <= comparison.MatchToHz)
            .Average(k => difference.TryGetValue(k, out var smoothedDb) ? smoothedDb : Decibels.FromPower(tested[k] / reference[k]));
        var step = Math.Max(1, levels.Grid.PointsPerOctave / PointsPerOctave);
        var points = cells.Where(k => k == cells[0] || k == cells[^1] || (int)Math.Round(levels.Grid.PointsPerOctave * Math.Log2(levels.Grid[k] / 1000)) % step == 0)
            .Select(k => new CalibrationPoint(levels.Grid[k], difference[k] - middle, double.NaN)).ToArray();
        if (points.Length < 2)
            throw new InvalidOperationException($"The band that may be believed with both {comparison.Tested} and {comparison.Reference} ({comparison.Band.Words}) is too narrow for a calibration.");
        return new(points, [.. comparison.Octaves.Where(octave => octave.IsGiven).Select(Judged)], comparison, facts);

        double SmoothedDb(int k)
        {
            var reach = Math.Min(levels.Grid.PointsPerOctave / (2 * SmoothedFraction), Math.Min(k - cells[0], cells[^1] - k));
            var (above, below) = (0.0, 0.0);
            for (var n = k - reach; n <= k + reach; n++)
                if (levels.Trust[n]) (above, below) = (above + tested[n], below + reference[n]);
            return Decibels.FromPower(above / below);
        }

        BandDeviation Judged(BandDeviation octave)
        {
            var inside = levels.CellsOf(octave.Band);
            var standard = Math.Sqrt(inside.Average(k => facts.ReferenceStandardDb(k) * facts.ReferenceStandardDb(k)));
            var expanded = CoverageFactor * Math.Sqrt(octave.RepeatabilityDb / CoverageFactor * (octave.RepeatabilityDb / CoverageFactor) + standard * standard);
            var mean = inside.Where(difference.ContainsKey).Select(k => difference[k] - middle).DefaultIfEmpty(double.NaN).Average();
            return new(octave.Band, mean, expanded, Math.Abs(mean) > Math.Max(expanded, MicrophoneComparison.SmallestDb), double.IsNaN(expanded) ? "nothing is stated about the reference's response here, or the noise is not known" : "");
        }
    }

    /// <summary>Mean power over the repeats, each at its own middle-band level.</summary>
    private static double[] MeanPower(ComparedLevels levels, IReadOnlyList<Response> responses)
    {
        var power = new double[responses[0].Count];
        foreach (var response in responses)
        {
            var (powers, scale) = (levels.PowersOf(response), responses.Count * Decibels.ToPowerRatio(levels.MatchDb(response)));
            for (var k = 0; k < power.Length; k++) power[k] += powers[k] / scale;
        }
        return power;
    }
}
