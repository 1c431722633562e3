// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Microphones;

namespace Sweepbook.Studies;

/// <summary>
/// <c>microphone-range.csv</c>: one row per microphone of the survey; the limits are "microphone", "measurement" or "not known", and empty where nothing is usable. The wanted range and its
/// verdict ("yes", "no", "not shown") are empty where the survey wants none.
/// </summary>
internal static class MicrophoneRangeTable
{
    internal const string FileName = "microphone-range.csv";

    internal static CsvTable? Of(Study study)
    {
        if (study.Microphones.Count == 0) return null;
        var table = new CsvTable(CsvColumn.Text("microphone"), CsvColumn.Hertz("usable_from_hz"), CsvColumn.Hertz("usable_to_hz"),
            CsvColumn.Text("low_limit"), CsvColumn.Text("low_reason"), CsvColumn.Text("high_limit"), CsvColumn.Text("high_reason"), CsvColumn.Decibels("within_db"),
            CsvColumn.Hertz("wanted_from_hz"), CsvColumn.Hertz("wanted_to_hz"), CsvColumn.Text("serves"),
            CsvColumn.Decibels("peak_db"), CsvColumn.Decibels("max_spl_db"), CsvColumn.Decibels("headroom_db"), CsvColumn.Text("sentence"));
        foreach (var microphone in study.Microphones)
        {
            var (range, wanted, headroom) = (microphone.Range, microphone.Wanted, microphone.Headroom);
            table.Add(microphone.Id, range.FromHz, range.ToHz, Word(range.LowLimit), range.LowReason, Word(range.HighLimit), range.HighReason, range.WithinDb,
                wanted?.FromHz ?? double.NaN, wanted?.ToHz ?? double.NaN, wanted?.Word ?? "",
                headroom.PeakDb, headroom.MaximumDb, headroom.HeadroomDb, range.Sentence);
        }
        return table;
    }

    private static string Word(RangeLimit limit) => limit switch
    {
        RangeLimit.Microphone => "microphone",
        RangeLimit.Measurement => "measurement",
        RangeLimit.Unknown => "not known",
        _ => "",
    };
}
