// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Trust;

namespace Sweepbook.Surveys;

/// <summary>The keys of a take that belong to markers and clocks.</summary>
internal static class MarkerKeys
{
    private static readonly TomlRange Distances = new(0, 100, "m");
    private static readonly TomlRange Clocks = new(-2_000, 2_000, "ppm");

    internal static double? Distance(TomlTable own, TomlTable table, TimeZero zero)
    {
        var metres = table.Number("marker_distance_m", Distances);
        if (zero == TimeZero.Marker) return metres;
        return own.Entry("marker_distance_m") is null ? null
            : throw own.Fault("marker_distance_m", "a marker distance means something only with time_zero = \"marker\"", "Take marker_distance_m out, or set time_zero = \"marker\".");
    }

    internal static double? ClockPpm(TomlTable own, TomlTable table, TimeZero zero, bool isImpulse)
    {
        var ppm = table.Number("clock_ppm", Clocks);
        if (!isImpulse && zero != TimeZero.Loopback) return ppm;
        return own.Entry("clock_ppm") is null ? null
            : throw own.Fault("clock_ppm", zero == TimeZero.Loopback ? "a take with a loopback shares one clock with what was played" : "an impulse take has no clock error of its own", "Take clock_ppm out.");
    }

    /// <summary>Time zero is either the marker's arrival or the moment it left; takes of one group must agree on which, and the arrival is another one at every seat.</summary>
    internal static void RefuseMixedZeros(string file, IReadOnlyList<Take> takes)
    {
        foreach (var group in takes.Where(take => take.TimeZero == TimeZero.Marker && take.Use).GroupBy(take => take.TimeGroup.Name))
        {
            if (group.FirstOrDefault(take => take.MarkerDistanceMetres is null) is { } without && group.FirstOrDefault(take => take.MarkerDistanceMetres is not null) is { } with)
                throw new DataFault(file, without.Line, $"{TomlTable.Shorten(without.File)} states no marker_distance_m, but {TomlTable.Shorten(with.File)} of the same time group \"{group.Key}\" does, so their time zeros differ",
                    "State the distance from the marker's loudspeaker to the microphone for every take of the group, or for none.");
            if (group.First() is { MarkerDistanceMetres: null } first && group.FirstOrDefault(take => take.Seat != first.Seat) is { } elsewhere)
                throw new DataFault(file, elsewhere.Line, $"{TomlTable.Shorten(elsewhere.File)} and {TomlTable.Shorten(first.File)} are of one time group \"{group.Key}\", but the marker's way to {elsewhere.Seat} is another one than to {first.Seat}",
                    "State marker_distance_m for every take of the group, or leave time_group out: the takes of each seat then share a time zero of their own.");
        }
    }
}
