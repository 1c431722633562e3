// SPDX-License-Identifier: MIT
using Sweepbook.Files;

namespace Sweepbook.Simulation;

/// <summary>Reads the microphones of a plan: one, or several that take turns, and the calibrator that was put on them.</summary>
internal sealed class PlanMicrophones(TomlTable root, TomlRange audible)
{
    private static readonly string[] OneKeys =
    [
        "id", "high_pass_hz", "high_pass_order", "rise_hz", "rise_db", "rise_q", "calibrated_from_hz", "calibrated_to_hz",
        "calibrated_on", "lowest_hz", "highest_hz", "tolerance_db",
    ];

    private static readonly string[] ListedKeys =
        [.. OneKeys, "shape", "since", "calibration_uncertainty_db", "reference", "max_spl_db", "noise_dba", "self_dbfs", "sensitivity_dbfs_at_94db", "loopback", "note"];

    private static readonly TomlRange Sheet = TomlRange.Above0UpTo(100_000, "Hz");

    public IReadOnlyList<PlannedMicrophone> Read()
    {
        if (root.Find("microphone")?.Value is TomlTable one)
        {
            one.RefuseUnknownKeys(OneKeys);
            if (!one.Has("calibrated_from_hz")) throw one.Missing("calibrated_from_hz", "where its calibration file begins, in hertz");
            return [Common(one)];
        }
        var all = root.Tables("microphone");
        if (all.Count == 0) throw new DataFault(root.File, null, "there is no table [microphone]", "Add it, or several [[microphone]]; the plans under data-demo show their keys.");
        var read = new List<PlannedMicrophone>();
        foreach (var table in all)
        {
            var microphone = Listed(table);
            if (read.Exists(other => other.Id == microphone.Id)) throw table.Fault("id", $"the microphone \"{microphone.Id}\" is given twice", "Give each an id of its own.");
            if (microphone.IsReference && read.Exists(other => other.IsReference)) throw table.Fault("reference", "two microphones are the reference", "Keep one.");
            read.Add(microphone);
        }
        return read;
    }

    public PlannedSubstitution Substitution(IReadOnlyList<PlannedMicrophone> microphones)
    {
        if (root.Table("substitution") is not { } table) return new(0, 1);
        table.RefuseUnknownKeys("placement_mm", "reference_takes");
        if (!microphones[0].IsListed) throw new DataFault(root.File, table.Line, "one microphone cannot take turns", "List several as [[microphone]], or take [substitution] out.");
        var takes = table.Integer("reference_takes", 1, 20) ?? 1;
        if (takes > 1 && !microphones.Any(microphone => microphone.IsReference))
            throw table.Fault("reference_takes", "no microphone is the reference", "Mark one with reference = true.");
        return new(table.Number("placement_mm", new(0, 20, "mm")) ?? 0, takes);
    }

    public PlannedCalibrator? Calibrator(IReadOnlyList<PlannedMicrophone> microphones)
    {
        if (root.Table("calibrator") is not { } table) return null;
        table.RefuseUnknownKeys("level_db", "frequency_hz", "length_s");
        if (!microphones[0].IsListed) throw new DataFault(root.File, table.Line, "the level of a tone needs a sensitivity", "List the microphones as [[microphone]], each with sensitivity_dbfs_at_94db.");
        return new(table.Number("level_db", new(60, 140, "dB")) ?? 94, table.Number("frequency_hz", audible) ?? 1000, table.Number("length_s", new(0.5, 60, "s")) ?? 3);
    }

    private PlannedMicrophone Listed(TomlTable table)
    {
        table.RefuseUnknownKeys(ListedKeys);
        var calibrated = table.Has("calibrated_from_hz");
        foreach (var key in new[] { "calibrated_to_hz", "calibrated_on", "calibration_uncertainty_db" })
            if (!calibrated && table.Has(key)) throw table.Fault(key, $"`{key}` belongs to a calibration file, and this microphone has none", "Add calibrated_from_hz, or take it out.");
        return Common(table) with
        {
            IsListed = true,
            IsCalibrated = calibrated,
            Note = Note(table),
            Shape = Shapes(table, "shape"),
            Since = Shapes(table, "since"),
            CalibrationUncertaintyDb = table.Number("calibration_uncertainty_db", new(0, 20, "dB")),
            IsReference = table.Flag("reference") ?? false,
            MaxSplDb = table.Number("max_spl_db", new(40, 200, "dB")),
            NoiseDba = table.Number("noise_dba", new(-20, 100, "dB(A)")),
            SelfDbfs = table.Number("self_dbfs", new(-300, 0, "dBFS")),
            SensitivityDbfs = table.Number("sensitivity_dbfs_at_94db", new(-200, 20, "dBFS")) ?? throw table.Missing("sensitivity_dbfs_at_94db", "its reading at 94 dB with the planned input gain"),
            HasLoopback = table.Flag("loopback") ?? true,
        };
    }

    /// <summary>The keys that one microphone and each of several have in common.</summary>
    private PlannedMicrophone Common(TomlTable table)
    {
        var (fromHz, toHz) = (table.Number("calibrated_from_hz", audible) ?? double.NaN, table.Number("calibrated_to_hz", audible) ?? double.NaN);
        if (table.Has("calibrated_from_hz") && double.IsNaN(toHz)) throw table.Missing("calibrated_to_hz", "where its calibration file ends, in hertz");
        if (toHz <= fromHz) throw table.Fault("calibrated_to_hz", "the calibration ends where it begins, or below", "Let it rise.");
        return new(PlannedTakes.Id(table), PlanReader.RollOff(table, "high_pass", 1, audible), table.Number("rise_hz", audible), table.Number("rise_db", new(-20, 20, "dB")) ?? 0,
            table.Number("rise_q", new(0.1, 20, "")) ?? 1, fromHz, toHz,
            table.Date("calibrated_on"), table.Number("lowest_hz", Sheet), table.Number("highest_hz", Sheet), table.Number("tolerance_db", new(0, 20, "dB")));
    }

    private static string Note(TomlTable table) => table.Text("note") is not { } note ? ""
        : note.Length is > 0 and <= 200 && !note.Any(char.IsControl) ? note
        : throw table.Fault("note", "`note` is not one line of text", "Write 1 to 200 characters without line breaks.");

    private List<PlannedShape> Shapes(TomlTable table, string key)
    {
        var shapes = new List<PlannedShape>();
        foreach (var item in table.Tables(key))
        {
            item.RefuseUnknownKeys("kind", "at_hz", "gain_db", "q");
            var kind = item.Choice<ShapeKind>("kind", ("peak", ShapeKind.Peak), ("low-shelf", ShapeKind.LowShelf), ("high-shelf", ShapeKind.HighShelf))
                ?? throw item.Missing("kind", "\"peak\", \"low-shelf\" or \"high-shelf\"");
            shapes.Add(new(kind, item.Number("at_hz", audible) ?? throw item.Missing("at_hz", "a frequency in hertz"),
                item.Number("gain_db", new(-30, 30, "dB")) ?? throw item.Missing("gain_db", "a gain in decibels"), item.Number("q", new(0.1, 20, "")) ?? Math.Sqrt(0.5)));
        }
        return shapes;
    }
}
