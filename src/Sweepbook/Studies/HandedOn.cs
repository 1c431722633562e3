// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Files;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>The responses of a study as plain files for other programs: impulse responses as WAV, responses as text, and an index of both.</summary>
/// <remarks>
/// The WAV holds the response before the window, to where its recording can be trusted to end: 32-bit float, linear, output over input, without the microphone's
/// calibration, which is in the text. Its time zero is a place in samples that may lie between two of them, so it stands in the index; where a
/// response begins after its time zero, zeros are put before it until it is in the file. Own convention.
/// </remarks>
internal static class HandedOn
{
    internal const string ImpulseFolder = "impulse-responses", TextFolder = "responses-as-text", IndexName = "handed-on.csv";

    private sealed record Entry(ResponseResult Result, string Wav, string Text, int PadSamples);

    internal static IReadOnlyList<string> Write(Study study, string folder)
    {
        var written = new List<string>();
        foreach (var (result, wav, text, pad) in Entries(study))
        {
            var impulse = result.UncutImpulseResponse;
            WavFile.Replace(Path.Combine(folder, wav), new Recording(impulse.SampleRateHz, [[.. new double[pad], .. impulse.ToArray()]]), WavEncoding.Float32);
            written.Add(wav);
            if (text.Length == 0) continue;
            ResponseText.Write(Path.Combine(folder, text), result.Response,
                $"{study.Survey.Title}: {result.Source}{(result.Seat.Length > 0 ? $" at {result.Seat}" : "")}, {result.Setting}, microphone {result.Microphone}", impulse.TimeZero);
            written.Add(text);
        }
        Index(study).Write(Path.Combine(folder, IndexName));
        return [.. written, IndexName];
    }

    /// <summary>handed-on.csv: what is in the files.</summary>
    internal static CsvTable Index(Study study)
    {
        var index = new CsvTable(
            [.. StudyTables.Keys, .. StudyTables.Circumstances, CsvColumn.Text("impulse_response"), CsvColumn.Text("response_text"), CsvColumn.Integer("sample_rate_hz"), CsvColumn.Text("time_zero_s"),
            CsvColumn.Text("time_zero"), CsvColumn.Text("time_group"), CsvColumn.Text("scale"), CsvColumn.Text("level_reference"), CsvColumn.Text("calibration"), CsvColumn.Text("obtained")]);
        foreach (var (result, wav, text, pad) in Entries(study))
        {
            var (impulse, take) = (result.UncutImpulseResponse, result.Takes[0]);
            index.Add(result.Source, result.Setting, result.Seat, result.Microphone, take.Stimulus ?? "", StudyTables.Word(take.Field), take.DistanceMm, take.AngleDeg, take.DriveDb, take.InputGainDb,
                wav, text, impulse.SampleRateHz, impulse.TimeZero == TimeZero.Unknown ? "" : ((pad + impulse.TimeZeroSamples) / impulse.SampleRateHz).ToString("0.0########", CultureInfo.InvariantCulture),
                impulse.TimeZero.ToString().ToLowerInvariant(), impulse.TimeGroup.Name ?? "", "linear, output over input", result.Response.LevelReference, "not applied to the WAV, subtracted in the text", impulse.Method);
        }
        return index;
    }

    private static IEnumerable<Entry> Entries(Study study)
    {
        var names = new HashSet<string>(StringComparer.OrdinalIgnoreCase);
        foreach (var result in study.Responses)
        {
            var name = NewName(names, string.Join('_', new[] { result.Source, result.Seat, result.Setting, study.Survey.Microphones.Count > 1 ? result.Microphone : "" }.Where(part => part.Length > 0)));
            var impulse = result.UncutImpulseResponse;
            var pad = impulse.TimeZero == TimeZero.Unknown ? 0 : (int)Math.Ceiling(Math.Max(0, -impulse.TimeZeroSamples));   // a response that begins after its time zero
            yield return new(result, $"{ImpulseFolder}/{name}.wav", result.LevelBand.IsEmpty ? "" : $"{TextFolder}/{name}.txt", pad);
        }
    }

    private static string NewName(HashSet<string> names, string stem)
    {
        var name = stem;
        for (var more = 2; !names.Add(name); more++) name = FormattableString.Invariant($"{stem}_{more}");
        return name;
    }
}
