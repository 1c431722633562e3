// SPDX-License-Identifier: MIT
using Sweepbook.Files;

namespace Sweepbook.Simulation;

/// <summary>Plans that the model cannot mean, or that would take days: refused before anything is computed.</summary>
internal static class PlanLimits
{
    private const double NearestMetres = 0.3;
    private const double MostModes = 50_000;       // some seconds for a take of five
    private const double MostImages = 20_000_000;  // some seconds for each pair of source and seat
    private const double SpanFactor = 4;           // the modes are summed to almost four times the crossover

    public static void Check(AcousticRoom acoustics, IReadOnlyList<PlannedSource> sources, IReadOnlyList<PlannedSeat> seats, TomlTable room)
    {
        if (double.IsNaN(acoustics.CrossoverHz)) return;   // nothing plays in the room
        foreach (var source in sources.Where(source => source.Radiator is null))
            foreach (var seat in seats)
                if (source.Place.DistanceMetresTo(seat.Place) is var metres && metres < NearestMetres)
                    throw new DataFault(room.File, null, $"the seat {seat.Id} is {metres * 1000:0} mm from the source {source.Id}", $"Keep {NearestMetres * 1000:0} mm or more apart: sources are points here.");
        var box = acoustics.Room;
        if (box.ExpectedCountBelow(SpanFactor * acoustics.CrossoverHz) > MostModes)
            throw room.Fault("crossover_hz", "this room has too many modes below that crossover", "Lower crossover_hz; twice the Schroeder frequency is plenty.");
        var reach = RoomPath.LengthPerT60Ratio * acoustics.Decay.Points.Max(point => point.T60Seconds) * box.SpeedOfSoundMetresPerSecond;
        if (4 * Math.PI / 3 * reach * reach * reach / box.VolumeCubicMetres > MostImages)
            throw room.Fault("length_m", "this room has too many image sources within its decay time", "Shorten the decay times or enlarge the room.");
    }
}
