// SPDX-License-Identifier: MIT
using Sweepbook.Files;

namespace Sweepbook.Studies;

/// <summary>
/// <c>predicted-modes.csv</c>: one row per mode and place, columns order, kind, frequency_hz, place, place_kind (seat or source), shape (ψ from −1 to 1, 6
/// decimals) and in_node. A room without stated positions gives one row per mode, its last four cells empty; a survey without a room gives no file.
/// </summary>
internal static class RoomTable
{
    internal const string FileName = "predicted-modes.csv";

    /// <summary>The table, or null where the survey states no room.</summary>
    internal static CsvTable? Of(Study study)
    {
        if (study.PredictedModes() is not { } modes) return null;
        var table = new CsvTable(CsvColumn.Text("order"), CsvColumn.Text("kind"), CsvColumn.Hertz("frequency_hz"), CsvColumn.Text("place"), CsvColumn.Text("place_kind"),
            CsvColumn.Number("shape"), CsvColumn.Boolean("in_node"));
        foreach (var meeting in modes.Meetings)
            table.Add(meeting.Mode.Order, Word(meeting.Mode.Kind), meeting.Mode.FrequencyHz, meeting.Place.Name, Word(meeting.Place.Kind), Math.Round(meeting.ShapeRatio, 6), meeting.IsInNode);
        if (modes.Places.Count == 0)
            foreach (var mode in modes.Modes)
                table.Add(mode.Order, Word(mode.Kind), mode.FrequencyHz, CsvCell.Empty, CsvCell.Empty, CsvCell.Empty, CsvCell.Empty);
        return table;
    }

    private static string Word<T>(T kind) where T : struct, Enum => kind.ToString().ToLowerInvariant();
}
