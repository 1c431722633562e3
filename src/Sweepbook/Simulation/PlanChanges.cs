// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Quantities;

namespace Sweepbook.Simulation;

/// <summary>What a copy of a plan changes about the system: each <c>[[change]]</c> names a source and what is different about it now, or a seat and where the microphone stands now.</summary>
/// <remarks>For a survey before and one after. <c>new_seed</c> draws latencies, noise and hum anew, as another evening does. Own format; it needs no source.</remarks>
internal sealed class PlanChanges(TomlTable own, Func<TomlTable, string, Position> place, Func<TomlTable, string, int, PlannedRollOff?> rollOff)
{
    internal const string Key = "change", SeedKey = "new_seed";
    private static readonly string[] s_ofSource = ["source", "position_m", "gain_db", "delay_ms", "inverted", "high_pass_hz", "high_pass_order", "low_pass_hz", "low_pass_order"];

    /// <summary>A plan that is no copy states its sources as they are.</summary>
    internal static void RefuseIn(TomlTable plan)
    {
        foreach (var key in new[] { Key, SeedKey })
            if (plan.Has(key)) throw plan.Fault(key, $"`{key}` belongs into a copy of a plan", "Name the plan with copy_of, or change the source itself.");
    }

    internal void Apply(List<PlannedSource> sources, List<PlannedSeat> seats)
    {
        foreach (var table in own.Tables(Key))
        {
            if (table.Has("seat"))
            {
                table.RefuseUnknownKeys("seat", "position_m");
                var at = IndexOf(table, "seat", [.. seats.Select(seat => seat.Id)]);
                seats[at] = seats[at] with { Place = place(table, "position_m") };
                continue;
            }
            table.RefuseUnknownKeys(s_ofSource);
            var n = IndexOf(table, "source", [.. sources.Select(source => source.Id)]);
            if (sources[n].Radiator is not null) throw table.Fault("source", "it is part of a box, which is planned as a whole", "Change a source that is no part of a box.");
            sources[n] = Changed(table, sources[n]);
        }
    }

    private PlannedSource Changed(TomlTable table, PlannedSource source) => source with
    {
        Place = table.Has("position_m") ? place(table, "position_m") : source.Place,
        GainDb = table.Number("gain_db", new(-200, 200, "dB")) ?? source.GainDb,
        DelaySeconds = table.Number("delay_ms", new(0, 1000, "ms")) / 1000 ?? source.DelaySeconds,
        IsInverted = table.Flag("inverted") ?? source.IsInverted,
        HighPass = rollOff(table, "high_pass", 2) ?? source.HighPass,
        LowPass = rollOff(table, "low_pass", 4) ?? source.LowPass,
    };

    private static int IndexOf(TomlTable table, string key, List<string> ids)
    {
        var id = table.Required(key);
        return ids.IndexOf(id) is var n and >= 0 ? n : throw table.Fault(key, $"the plan has no {key} \"{TomlTable.Shorten(id)}\"", $"It has {string.Join(", ", ids)}.");
    }
}
