// SPDX-License-Identifier: MIT
using Sweepbook.Rooms;
using Sweepbook.Seats;

namespace Sweepbook.Studies;

/// <content>Questions that a notebook asks of a study.</content>
public sealed partial class Study
{
    /// <summary>The response of a source at a seat.</summary>
    /// <param name="source">Id of the source; ids joined by + for sources that played together.</param>
    /// <param name="seat">Id of the seat.</param>
    /// <param name="setting">Id of the setting; without it the first one that was measured.</param>
    /// <returns>The first such response, in the order of the survey.</returns>
    /// <exception cref="ArgumentException">The study has none; the message says which it has.</exception>
    /// <remarks>A lookup and no computation: nothing here can mislead, and it needs no source.</remarks>
    public ResponseResult Response(string source, string seat, string? setting = null)
    {
        var named = setting is null ? "" : $" in the setting \"{setting}\"";
        return Responses.FirstOrDefault(result => result.Source == source && result.Seat == seat && (setting is null || result.Setting == setting))
            ?? throw new ArgumentException($"The study has no response of \"{source}\" at \"{seat}\"{named}; it has: {string.Join(", ", Responses.Select(Name).Distinct())}.");

        string Name(ResponseResult result) => $"{result.Source} at {result.Seat}{(setting is null ? "" : $" in the setting {result.Setting}")}";
    }

    /// <summary>What was found out about a microphone.</summary>
    /// <param name="id">Its id in the survey.</param>
    /// <exception cref="ArgumentException">The survey has no such microphone; the message names the nearest.</exception>
    /// <remarks>A lookup and no computation: nothing here can mislead, and it needs no source.</remarks>
    public MicrophoneResult Microphone(string id)
    {
        var stated = Survey.Microphone(id);
        return Microphones.First(result => result.Stated == stated);
    }

    /// <summary>Every source, setting and microphone with its seats, in the order of the survey; only those with two seats or more.</summary>
    /// <remarks>
    /// Takes close to a cone or outdoors are no seats. Responses on different frequency grids, as recorded impulse responses of different rates have them, are
    /// not brought together, and a finding says so. A seat that was measured twice, with and without a time zero for instance, counts by its first take; one of weight 0
    /// counts for nothing. Weights are those of the survey's seats. Source: beside <see cref="SeatSet"/>.
    /// </remarks>
    public IReadOnlyList<SeatResult> SeatResults() => SeatStudy.Results(this);

    /// <summary>The seats of one source.</summary>
    /// <param name="source">Id of the source; ids joined by + for sources that played together.</param>
    /// <param name="setting">Id of the setting; without it the first one that was measured.</param>
    /// <returns>The first comparable set of seats of that source.</returns>
    /// <exception cref="ArgumentException">The study has no two comparable seats of that source and setting; the message says which it has.</exception>
    /// <remarks>As <see cref="SeatResults"/>, also for the source.</remarks>
    public SeatSet SeatsOf(string source, string? setting = null)
    {
        var results = SeatResults();
        return results.FirstOrDefault(result => result.Source == source && (setting is null || result.Setting == setting))?.Seats
            ?? throw new ArgumentException($"The study has no two seats to compare for \"{source}\"{(setting is null ? "" : $" in the setting \"{setting}\"")}; it has them for: {string.Join(", ", results.Select(SeatStudy.Named).Distinct())}.", nameof(source));
    }

    /// <summary>The predicted modes of the room with all seats and sources whose positions are stated.</summary>
    /// <returns>Modes below 120 Hz; in a hall below the frequency at which 300 are expected. Null where the survey states no room.</returns>
    /// <remarks>
    /// Positions outside the room are set aside in <see cref="PlacedModes.PlacesOutside"/>; a survey without positions gives modes without places. Nothing here is
    /// measured: it is the room as an empty box. Source: beside <see cref="PlacedModes"/>.
    /// </remarks>
    public PlacedModes? PredictedModes() => RoomStudy.PredictedModes(this);
}
