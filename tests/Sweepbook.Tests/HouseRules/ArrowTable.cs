// SPDX-License-Identifier: MIT
namespace Sweepbook.Tests.HouseRules;

/// <summary>Which folder of src/Sweepbook may use which: the whole layout, folders not built yet included.</summary>
public static class ArrowTable
{
    /// <summary>Folder → the folders it may use. A folder may always use itself.</summary>
    public static IReadOnlyDictionary<string, IReadOnlySet<string>> Allowed { get; } = Parse("""
        Quantities   :
        Trust        : Quantities
        Files        : Trust
        Transforms   :
        Filters      : Transforms Quantities
        Stimuli      : Files Transforms Trust Quantities
        Surveys      : Files Stimuli Trust Quantities
        Spectra      : Transforms Filters Trust Quantities
        Impulses     : Spectra Stimuli Filters Transforms Trust Quantities
        Microphones  : Spectra Transforms Filters Files Trust Quantities
        Rooms        : Quantities
        Decay        : Impulses Filters Transforms Trust Quantities
        Modes        : Decay Rooms Impulses Transforms Filters Trust Quantities
        Nearfield    : Spectra Impulses Trust Quantities
        Seats        : Spectra Trust Quantities
        Alignment    : Seats Spectra Filters Files Trust Quantities
        Equalisation : Seats Spectra Filters Files Trust Quantities
        Studies      : Quantities Trust Files Transforms Filters Stimuli Surveys Spectra Impulses Microphones Rooms Decay Modes Nearfield Seats Alignment Equalisation
        Simulation   : Rooms Surveys Stimuli Files Filters Transforms Quantities
        """);

    /// <summary>The arrows that the table does not allow, worded for a person.</summary>
    public static IReadOnlyList<string> Forbidden(IEnumerable<Arrow> arrows, IReadOnlyDictionary<string, IReadOnlySet<string>> allowed) =>
        [.. arrows.Where(arrow => !allowed.TryGetValue(arrow.From, out var targets) || !targets.Contains(arrow.To))
            .Select(arrow => $"{arrow.From} → {arrow.To}: {arrow.Where}")];

    private static Dictionary<string, IReadOnlySet<string>> Parse(string text) => text
        .Split('\n')
        .Select(line => line.Split(':'))
        .ToDictionary(
            parts => parts[0].Trim(),
            parts => (IReadOnlySet<string>)parts[1].Split(' ', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries).ToHashSet());
}
