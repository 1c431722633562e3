// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;

namespace Sweepbook.Tests.Microphones;

/// <summary>Responses of a given level over frequency, trusted within limits, on a coarse grid.</summary>
internal static class ComparedResponses
{
    internal static LogGrid Grid { get; } = LogGrid.Between(48, 15, 23_000);

    internal static Response Of(Func<double, double> levelDb, double fromHz = 0, double toHz = double.PositiveInfinity, double noisePower = 0, Func<double, bool>? censored = null) =>
        Of(Grid, levelDb, fromHz, toHz, noisePower, censored);

    internal static Response Of(LogGrid grid, Func<double, double> levelDb, double fromHz, double toHz, double noisePower = 0, Func<double, bool>? censored = null)
    {
        double[] power = [.. grid.ToArray().Select(hz => Math.Pow(10, levelDb(hz) / 10))];
        var mask = Limits.From(grid.ToArray(), fromHz, new(Doubt.Noise, "noise 9 dB below the signal")).And(Limits.UpTo(grid.ToArray(), toHz, new(Doubt.UpperEnd, "the sweep ended")));
        return new(grid, [.. power.Select(p => (Complex)Math.Sqrt(p))], [.. power.Select(p => p + noisePower)], [.. power.Select(_ => noisePower)],
            [.. grid.ToArray().Select(hz => censored?.Invoke(hz) ?? false)], mask, mask, default, LevelReference.Stimulus);
    }

    /// <summary>A shelf of a given height above its corner, smooth.</summary>
    internal static double ShelfDb(double hz, double heightDb, double cornerHz) => heightDb / (1 + Math.Pow(cornerHz / hz, 4));

    /// <summary>A rise towards low frequencies.</summary>
    internal static double BottomDb(double hz, double heightDb, double cornerHz) => heightDb / (1 + Math.Pow(hz / cornerHz, 4));

    /// <summary>10 · lg of the mean power of a level over a band, by a sum of its own over log frequency.</summary>
    internal static double BandLevelDb(Func<double, double> levelDb, double fromHz, double toHz)
    {
        const int Steps = 2_000;
        return 10 * Math.Log10(Enumerable.Range(0, Steps).Average(n => Math.Pow(10, levelDb(fromHz * Math.Pow(toHz / fromHz, (n + 0.5) / Steps)) / 10)));
    }

    /// <summary>The mean of a level over log frequency.</summary>
    internal static double MeanDb(Func<double, double> levelDb, double fromHz, double toHz)
    {
        const int Steps = 2_000;
        return Enumerable.Range(0, Steps).Average(n => levelDb(fromHz * Math.Pow(toHz / fromHz, (n + 0.5) / Steps)));
    }
}
