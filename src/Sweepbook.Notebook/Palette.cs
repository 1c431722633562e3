// SPDX-License-Identifier: MIT
namespace Sweepbook.Notebook;

/// <summary>Colours that stay apart for colour-blind readers; a seat keeps its colour through the whole report.</summary>
/// <remarks>
/// Source: M. Okabe, K. Ito, "Color Universal Design" (2008), the set of eight without black (invisible on a dark page). Ordered by
/// contrast on white, yellow last; after the seventh seat the colours repeat with another line pattern.
/// </remarks>
internal static class Palette
{
    private static readonly string[] Colours = ["#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00", "#56B4E9", "#F0E442"];
    private static readonly string[] Dashes = ["solid", "dash", "dot", "dashdot", "longdash"];

    /// <summary>Colour of the seat with that place in the survey, counted from 0.</summary>
    public static string Colour(int place) => Colours[place % Colours.Length];

    /// <summary>Line pattern that tells the eighth seat from the first.</summary>
    public static string Dash(int place) => Dashes[place / Colours.Length % Dashes.Length];

    /// <summary>Line pattern of the curve with that place, where one seat has several.</summary>
    public static string DashOf(int place) => Dashes[place % Dashes.Length];
}
