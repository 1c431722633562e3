// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Net;
using DynamicObj;

namespace Sweepbook.Notebook;

/// <summary>Text and parts for figures, so that a name typed into a survey stays text wherever it is drawn.</summary>
internal static class PlotText
{
    /// <summary>The chart library reads a few tags in its texts and decodes entities; with those three written as entities nothing else is read.</summary>
    public static string Encode(string text) => text.Replace("&", "&amp;").Replace("<", "&lt;").Replace(">", "&gt;");

    /// <summary>The title of a level axis: what 0 dB means stands in it, "re 20 µPa" or "relative to …".</summary>
    public static string LevelTitle(Spectra.Response response) =>
        response.Reference == Spectra.LevelReference.SoundPressure ? $"Level (dB {response.LevelReference})" : $"Level (dB, {response.LevelReference})";

    /// <summary>For page text and attribute values.</summary>
    public static string Html(string text) => WebUtility.HtmlEncode(text);

    /// <summary>Makes a JSON text safe inside a script element: there is no way to close it from within.</summary>
    public static string ForScript(string json) =>
        json.Replace("<", "\\u003c").Replace(">", "\\u003e").Replace("&", "\\u0026").Replace("\u2028", "\\u2028").Replace("\u2029", "\\u2029");

    /// <summary>A frequency as a reader writes it: 0.5, 20, 125, 1000, 20000; three digits at least.</summary>
    /// <param name="frequencyHz">Frequency in hertz.</param>
    public static string Hertz(double frequencyHz) => frequencyHz switch
    {
        >= 100 => Math.Round(frequencyHz).ToString("0", CultureInfo.InvariantCulture),
        >= 10 => frequencyHz.ToString("0.#", CultureInfo.InvariantCulture),
        _ => frequencyHz.ToString("0.##", CultureInfo.InvariantCulture),
    };

    /// <summary>A frequency with its unit as a reader says it: 23.4 Hz, 166 Hz, 19.9 kHz.</summary>
    /// <param name="frequencyHz">Frequency in hertz.</param>
    public static string WithUnit(double frequencyHz) => frequencyHz >= 1000
        ? string.Create(CultureInfo.InvariantCulture, $"{frequencyHz / 1000:0.#} kHz")
        : $"{Hertz(frequencyHz)} Hz";

    /// <summary>A figure part (axis, line, margin, …) from names and values.</summary>
    public static DynamicObj.DynamicObj Part(params ReadOnlySpan<(string Name, object? Value)> properties)
    {
        var part = new DynamicObj.DynamicObj();
        foreach (var (name, value) in properties) part.SetProperty(name, value);
        return part;
    }

    /// <summary>Six significant digits: what the tables print, at half the size of the full number. NaN becomes a gap in the line.</summary>
    public static object?[] Rounded(IReadOnlyList<double> values)
    {
        var rounded = new object?[values.Count];
        for (var k = 0; k < rounded.Length; k++)
        {
            var value = values[k];
            if (!double.IsFinite(value)) continue;
            var digits = value == 0 ? 0 : 5 - (int)Math.Floor(Math.Log10(Math.Abs(value)));
            rounded[k] = Math.Round(value, Math.Clamp(digits, 0, 15));
        }
        return rounded;
    }
}
