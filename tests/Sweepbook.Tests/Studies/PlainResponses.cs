// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Tests.Studies;

/// <summary>Responses of a given magnitude, trusted everywhere, and takes that say where they were made.</summary>
internal static class PlainResponses
{
    internal static LogGrid Grid { get; } = LogGrid.Between(96, 20, 10_000);

    internal static Take In(SoundField field, double? distanceMm = null) =>
        new() { File = "a.wav", Path = "a.wav", Sources = ["main"], Seat = "sofa", Setting = "as-found", Microphone = "omni", Field = field, DistanceMm = distanceMm };

    internal static Response Of(Func<double, double> magnitude) => Of((frequencyHz, _) => magnitude(frequencyHz));

    internal static Response Of(Func<double, int, double> magnitude)
    {
        var values = Grid.ToArray().Select((frequencyHz, k) => (Complex)magnitude(frequencyHz, k)).ToArray();
        var mask = Limits.From(Grid.ToArray(), 0, default);
        return new(Grid, values, [.. values.Select(value => value.Magnitude * value.Magnitude)], new double[Grid.Count], new bool[Grid.Count], mask, mask, default, LevelReference.Loopback);
    }
}
