// SPDX-License-Identifier: MIT
namespace Sweepbook.Studies;

/// <summary>Finds a response of a study by what played and where it was heard.</summary>
public static class ResponseLookup
{
    /// <summary>The response of a source at a seat.</summary>
    /// <param name="study">The study.</param>
    /// <param name="source">Id of the source; ids joined by + for sources that played together.</param>
    /// <param name="seat">Id of the seat.</param>
    /// <param name="setting">Id of the setting; without it the first one that was measured.</param>
    /// <returns>The first such response, in the order of the survey.</returns>
    /// <exception cref="ArgumentException">The study has none; the message says which it has.</exception>
    /// <remarks>A lookup and no computation: nothing here can mislead, and it needs no source.</remarks>
    public static ResponseResult Response(this Study study, string source, string seat, string? setting = null)
    {
        ArgumentNullException.ThrowIfNull(study);
        var named = setting is null ? "" : $" in the setting \"{setting}\"";
        return study.Responses.FirstOrDefault(result => result.Source == source && result.Seat == seat && (setting is null || result.Setting == setting))
            ?? throw new ArgumentException($"The study has no response of \"{source}\" at \"{seat}\"{named}; it has: {string.Join(", ", study.Responses.Select(Name).Distinct())}.");

        string Name(ResponseResult result) => $"{result.Source} at {result.Seat}{(setting is null ? "" : $" in the setting {result.Setting}")}";
    }
}
