// SPDX-License-Identifier: MIT
using Sweepbook.Spectra;

namespace Sweepbook.Notebook;

public static partial class Figures
{
    private const double LowestAxisHz = 0.01, HighestAxisHz = 1e6;

    /// <summary>Responses over one another, each with a name of its own: sums, what a delay makes of them, what they were before.</summary>
    /// <param name="title">What is compared, in a few words.</param>
    /// <param name="fromHz">Lower end of the axis in hertz, 0.01 or more; the axis begins at the next labelled step below.</param>
    /// <param name="toHz">Upper end of the axis in hertz, above the lower one and at most 1 000 000; the axis ends at the next labelled step above.</param>
    /// <param name="named">Names and responses, one or more, all with the same level reference.</param>
    /// <returns>One figure with a curve for each, unsmoothed; faint where its level is not trusted.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The axis is empty.</exception>
    /// <exception cref="ArgumentException">There is no response, or the level references differ.</exception>
    /// <remarks>Misleads above some 200 Hz in a room, where unsmoothed curves of neighbouring places have nothing in common. Own manner; it needs no source.</remarks>
    public static Figure Levels(string title, double fromHz, double toHz, params IReadOnlyList<(string Name, Response Response)> named)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(title);
        ArgumentNullException.ThrowIfNull(named);
        if (!(toHz <= HighestAxisHz)) throw new ArgumentOutOfRangeException(nameof(toHz), toHz, FormattableString.Invariant($"Must be at most {HighestAxisHz} Hz."));
        if (!(fromHz >= LowestAxisHz && fromHz < toHz)) throw new ArgumentOutOfRangeException(nameof(fromHz), fromHz, FormattableString.Invariant($"Must be in [{LowestAxisHz}, {toHz}) Hz."));
        if (named.Count == 0) throw new ArgumentException("Got 0 responses; must be 1 or more.", nameof(named));
        if (named.FirstOrDefault(item => item.Response.Reference != named[0].Response.Reference) is { Name: not null } other)
            throw new ArgumentException($"The levels of \"{named[0].Name}\" are {named[0].Response.LevelReference}, those of \"{other.Name}\" {other.Response.LevelReference}. Draw them in two figures.", nameof(named));
        Curve[] curves = [.. named.Select((item, place) => new Curve
        {
            Name = item.Name,
            Colour = Palette.Colour(place),
            Dash = Palette.DashOf(place),
            FrequenciesHz = item.Response.Grid.ToArray(),
            LevelsDb = item.Response.LevelsDb(),
            Doubts = [.. item.Response.Points().Select(point => point.TrustedLevel ? "" : point.LevelReason.Sentence)],
        })];
        return CurveChart.Draw(curves, PlotText.LevelTitle(named[0].Response), FormattableString.Invariant($"{title}: level from {fromHz:0.#} to {toHz:0.#} Hz, {string.Join("; ", named.Select(item => Highest(item.Name, item.Response, fromHz, toHz)))}."), Computed,
            "Not smoothed; faint where the level is not trusted.", LogAxis.Around(fromHz, toHz), title);
    }

    /// <summary>"one highest at 42 Hz, −3.1 dB", of what is trusted.</summary>
    private static string Highest(string name, Response response, double fromHz, double toHz)
    {
        var shown = response.Points().Where(point => point.TrustedLevel && double.IsFinite(point.LevelDb) && point.FrequencyHz >= fromHz && point.FrequencyHz <= toHz).ToArray();
        return shown.Length == 0 ? $"{name} not trusted there" : shown.MaxBy(point => point.LevelDb) is var top ? FormattableString.Invariant($"{name} highest at {PlotText.WithUnit(top.FrequencyHz)}, {top.LevelDb:0.0;−0.0;0.0} dB") : name;
    }
}
