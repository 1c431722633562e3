// SPDX-License-Identifier: MIT
using Sweepbook.Trust;

namespace Sweepbook.Notebook.Tests;

/// <summary>Figures from invented numbers, so that the page can be tested apart from the analysis. Public: notebooks of the tests call it.</summary>
public static class Synthetic
{
    private static readonly string[] Sources = ["sub-left", "sub-right", "main-left"];
    private static readonly string[] Seats = ["sofa-left", "sofa-centre", "sofa-right", "armchair", "window-seat"];

    /// <summary>Bars for three sources at five seats; one of them trusts nothing.</summary>
    public static Figure Bands() => BandChart.Draw(
        [.. Sources.SelectMany((source, s) => Seats.Select((seat, k) => new BandRow(source, seat, "", Palette.Colour(k),
            s == 1 && k == 4 ? Nothing : Band(s == 2 ? 38 + 5 * k : 11 + k, s == 2 ? 18000 : 170 + 4 * k), Band(40, 150))))], "takes.csv");

    /// <summary>Level curves of a resonant low end and a ragged rest.</summary>
    public static Figure Curves(double fromHz, double toHz)
    {
        var frequencies = Enumerable.Range(0, 1 + (int)(96 * Math.Log2(toHz / fromHz))).Select(k => fromHz * Math.Pow(2, k / 96.0)).ToArray();
        return CurveChart.Draw([.. Seats.Select((seat, place) => new Curve
        {
            Name = seat,
            Colour = Palette.Colour(place),
            FrequenciesHz = frequencies,
            LevelsDb = [.. frequencies.Select(f => -12 * Math.Log2(1 + Math.Pow(18 / f, 2)) + 6 * Math.Sin(place + 9 * Math.Log(f)) - 10 * Math.Log10(1 + Math.Pow(f / 15000, 8)))],
            Doubts = [.. frequencies.Select(f => f < 14 ? "noise 9 dB below the signal (15 dB wanted)" : "")],
        })], "Level (dB, relative to the signal that was sent)", "Level over frequency at five seats.", "responses.csv", "Faint parts are not to be believed.");
    }

    /// <summary>A figure whose every text tries to leave its place.</summary>
    public static Figure Hostile(string text) => BandChart.Draw([new(text, text, text, Palette.Colour(0), Band(20, 200), Band(20, 200))], text);

    private static TrustedBand Nothing => new(double.NaN, double.NaN, new(Doubt.Noise, "noise as loud as the signal"), new(Doubt.Noise, "noise as loud as the signal"));

    private static TrustedBand Band(double fromHz, double toHz) =>
        new(fromHz, toHz, new(Doubt.Noise, "noise 9 dB below the signal (15 dB wanted)"), new(Doubt.UpperEnd, "the sweep ends at 200 Hz"));
}
