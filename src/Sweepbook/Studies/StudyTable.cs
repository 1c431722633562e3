// SPDX-License-Identifier: MIT
using Sweepbook.Files;

namespace Sweepbook.Studies;

/// <summary>One of the tables that a study writes.</summary>
/// <param name="Name">Its file.</param>
/// <param name="Of">Makes it; null where the survey gives nothing to write.</param>
/// <param name="Keys">The columns that say which fact a row is about: two rows that agree in them are the same fact, computed twice. Where several rows of one table agree, their order counts.</param>
internal sealed record StudyTable(string Name, Func<Study, CsvTable?> Of, IReadOnlyList<string> Keys)
{
    private static readonly string[] Place = ["source", "setting", "seat", "microphone"];
    private static readonly string[] Response = [.. Place, "stimulus", "field", "distance_mm", "angle_deg", "drive_db", "input_gain_db"];

    /// <summary>All of them, in the order in which they are written.</summary>
    internal static IReadOnlyList<StudyTable> All { get; } =
    [
        new("findings.csv", StudyTables.Findings, ["id", "subject"]),
        new("takes.csv", StudyTables.Takes, ["take", .. Place]),
        new("trusted-bands.csv", StudyTables.Bands, Response),
        new("responses.csv", StudyTables.Responses, [.. Response, "frequency_hz"]),
        new("decay.csv", DecayTable.Of, [.. Response, "bandwidth", "band_hz", "quantity"]),
        new("slow-peaks.csv", SlowPeakFindings.Table, Place),
        new(DistortionTable.FileName, DistortionTable.Of, [.. Response, "frequency_hz", "harmonic"]),
        new(LinearityStudy.FileName, LinearityStudy.Table, [.. Place, "stimulus", "field", "distance_mm", "angle_deg", "input_gain_db", "softer_drive_db", "louder_drive_db", "frequency_hz"]),
        new(SeatTable.FileName, SeatTable.Of, ["source", "setting", "microphone", "stimulus", "drive_db", "input_gain_db", "frequency_hz"]),
        new(RoomTable.FileName, RoomTable.Of, ["order", "kind", "place", "place_kind"]),
        new(DelayTable.FileName, DelayTable.Of, ["source", "compared_with", "setting", "seat", "microphone"]),
        new(BoxTable.FileName, BoxTable.Of, ["box", "setting", "microphone", "part", "source", "distance_m", "frequency_hz"]),
        new(ComparisonTable.FileName, ComparisonTable.Of, [.. Response, "compared_with", "bandwidth", "band_hz"]),
        new(MicrophoneRangeTable.FileName, MicrophoneRangeTable.Of, ["microphone"]),
    ];

    /// <summary>The index of what is handed on to other programs; written where that was asked for.</summary>
    internal static StudyTable ForOthers { get; } = new(HandedOn.IndexName, HandedOn.Index, Response);
}
