// SPDX-License-Identifier: MIT

namespace Sweepbook.Notebook;

/// <summary>The unit an answer is wanted in, and the units in which people give it instead.</summary>
/// <param name="InWords">The unit in words, for a sentence: "seconds".</param>
/// <param name="Others">Other units in words with their preposition, "in milliseconds", each with the way back into the unit wanted.</param>
internal sealed record AnswerUnit(string InWords, IReadOnlyList<(string InWords, Func<double, double> Back)> Others)
{
    /// <summary>True for a level, where a tolerance is a number of decibels and not a share.</summary>
    public bool IsLevel { get; private init; }

    public static AnswerUnit Seconds { get; } = new("seconds", [("in milliseconds", number => number / 1000), ("in microseconds", number => number / 1e6)]);

    public static AnswerUnit Minutes { get; } = new("minutes", [("in hours", number => number * 60), ("in seconds", number => number / 60)]);

    public static AnswerUnit Hertz { get; } = new("hertz", [("in kilohertz", number => number * 1000), ("in radians per second", number => number / (2 * Math.PI))]);

    public static AnswerUnit Metres { get; } = new("metres", [("in centimetres", number => number / 100), ("in millimetres", number => number / 1000), ("in feet", number => number * 0.3048)]);

    public static AnswerUnit Degrees { get; } = new("degrees", [("in radians", number => number * (180 / Math.PI)), ("in whole turns", number => number * 360)]);

    public static AnswerUnit Pascals { get; } = new("pascals", [("in millipascals", number => number / 1000), ("in micropascals", number => number / 1e6), ("in microbars", number => number / 10)]);

    public static AnswerUnit Decibels { get; } = new("decibels",
    [
        ("as a linear ratio of pressures", number => number > 0 ? Sweepbook.Quantities.Decibels.FromAmplitude(number) : double.NaN),
        ("as a linear ratio of powers", number => number > 0 ? Sweepbook.Quantities.Decibels.FromPower(number) : double.NaN),
        ("as a ratio of pressures in per cent", number => number > 0 ? Sweepbook.Quantities.Decibels.FromAmplitude(number / 100) : double.NaN),
        ("in nepers", number => number * Sweepbook.Quantities.Decibels.FromAmplitude(Math.E)),
    ])
    { IsLevel = true };
}
