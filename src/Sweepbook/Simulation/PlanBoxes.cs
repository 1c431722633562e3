// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Quantities;

namespace Sweepbook.Simulation;

/// <summary>Reads the boxes of a plan, and which source is what of which box.</summary>
internal sealed class PlanBoxes
{
    private static readonly string[] Keys = ["id", "width_m", "height_m", "depth_m", "volume_l", "tuning_hz", "absorption_q", "driver_hz", "driver_vas_l", "driver_q", "gain_db", "reflection"];
    private static readonly TomlRange Edge = new(0.05, 3, "m"), Volume = new(0.5, 5_000, "l"), Bass = new(5, 300, "Hz");

    public PlanBoxes(TomlTable root)
    {
        var boxes = new List<PlannedBox>();
        foreach (var table in root.Tables("box"))
        {
            var box = Box(table);
            if (boxes.Exists(other => other.Id == box.Id)) throw table.Fault("id", $"the box \"{box.Id}\" is given twice", "Give each an id of its own.");
            boxes.Add(box);
        }
        All = boxes;
    }

    public IReadOnlyList<PlannedBox> All { get; }

    /// <summary>A source that is part of a box, or the whole of it.</summary>
    public PlannedSource Source(TomlTable table, Func<TomlTable, string, Position> place)
    {
        var id = PlannedTakes.Id(table);
        var partOf = table.Required("part_of");
        var box = All.FirstOrDefault(item => item.Id == partOf)
            ?? throw table.Fault("part_of", $"there is no box \"{TomlTable.Shorten(partOf)}\"", All.Count == 0 ? "Add a [[box]]." : NearestName.Advice(partOf, [.. All.Select(item => item.Id)]));
        var kind = table.Choice<BoxPart>("kind", ("cone", BoxPart.Cone), ("port", BoxPart.Port), ("loudspeaker", BoxPart.Whole))
            ?? throw table.Missing("kind", "\"cone\", \"port\", or \"loudspeaker\" for the whole box");
        table.RefuseUnknownKeys(kind == BoxPart.Whole ? ["id", "kind", "part_of", "position_m", "baffle_position_m"] : ["id", "kind", "part_of", "area_cm2", "distance_mm", "baffle_position_m"]);
        var (x, y) = (double.NaN, double.NaN);
        if (table.Numbers("baffle_position_m", new(0, 3, "m")) is { } centre)
            (x, y) = centre is [var across, var up] && across < box.WidthMetres && up < box.HeightMetres && across > 0 && up > 0 ? (across, up)
                : throw table.Fault("baffle_position_m", "that is no point on the front of the box", FormattableString.Invariant($"Write two numbers, from the left and from the lower edge, below {box.WidthMetres} and {box.HeightMetres} m."));
        if (kind == BoxPart.Whole)
        {
            if (double.IsNaN(x)) throw table.Missing("baffle_position_m", "[from the left edge, from the lower edge] of the cone's centre, in metres");
            return Radiating(id, "loudspeaker", place(table, "position_m"), new(box, kind, double.NaN, double.NaN, x, y));
        }
        var radiator = new PlannedRadiator(box, kind, table.Number("area_cm2", new(1, 10_000, "cm²")) ?? throw table.Missing("area_cm2", "its effective area in cm²"),
            table.Number("distance_mm", new(0, 200, "mm")) ?? throw table.Missing("distance_mm", "how far the microphone stands from it"), x, y);
        if (2 * radiator.RadiusMetres > Math.Min(box.WidthMetres, box.HeightMetres)) throw table.Fault("area_cm2", "it is larger than the front of its box", "Correct area_cm2, or the box.");
        return Radiating(id, kind == BoxPart.Cone ? "cone" : "port", default, radiator);
    }

    /// <summary>The circuit knows one cone and one port.</summary>
    public static void RefuseTwice(IEnumerable<PlannedSource> sources, TomlTable root)
    {
        foreach (var twice in sources.Where(source => source.Radiator is { Kind: not BoxPart.Whole }).GroupBy(source => (source.Radiator!.Box.Id, source.Radiator.Kind)).Where(group => group.Count() > 1))
            throw new DataFault(root.File, null, $"the box {twice.Key.Id} has {twice.Count()} sources of the kind {twice.First().Kind}", "Keep one: the model of a box has one cone and one port.");
    }

    private static PlannedSource Radiating(string id, string kind, Position place, PlannedRadiator radiator) =>
        new(id, kind, place, null, 0, 0, 0, false, null, null, 0, 0, null) { Radiator = radiator };

    private static PlannedBox Box(TomlTable table)
    {
        table.RefuseUnknownKeys(Keys);
        return new(PlannedTakes.Id(table), Number("width_m", Edge), Number("height_m", Edge), Number("depth_m", Edge), Number("volume_l", Volume), Number("tuning_hz", Bass),
            Number("absorption_q", new(1, 1000, "")), Number("driver_hz", Bass), Number("driver_vas_l", Volume), Number("driver_q", new(0.1, 5, "")), Number("gain_db", new(-200, 200, "dB")))
        { ReflectionRatio = table.Number("reflection", new(0, 1, "")) ?? 0 };

        double Number(string key, TomlRange range) => table.Number(key, range) ?? throw table.Missing(key, $"a number in {range}");
    }
}
