// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>By how much a level changes when the microphone stands a few centimetres off: standard uncertainty in decibels.</summary>
/// <remarks>
/// In a room: a model, no measurement. The field is taken to be as uneven over place as the response is over frequency, since in a field of many waves
/// both scatter alike; the unevenness σ is that of the trusted levels round a straight line over one octave, 5.57 dB at most (fact sheet 15.1). Two
/// places d apart keep the part γ = (sin kd / kd)² of it, and the difference of their levels has the standard deviation
/// σ · √(2 (1 − Li₂(γ) / Li₂(1))), Li₂ the dilogarithm, Li₂(1) = π²/6. Small in the bass (kd ≪ 1), √2 · σ where half a wave is 5 cm or less.
/// Derived: the mean squares at two places of a diffuse field are exponential with correlation γ (R. K. Cook et al., J. Acoust. Soc. Am. 27 (1955)
/// 1072–1077, for sin kd / kd; from memory), and the logarithms of two such quantities have the covariance Σ γⁿ/n²; the test compares it with drawn fields.
/// In the simulated demo room 19 of 20 levels at places drawn within ± 5 cm lie inside the expanded uncertainty, 5 of 6 at a seat near a node (40–80 Hz).
/// Misleads close to a loudspeaker, where the level follows the distance, and at a node of a single mode, which is steeper than the model says.
/// It speaks of the unsmoothed level: a smoothed curve, or a mean over seats, depends far less on place.
/// In a free field the level follows the distance: 20 · lg(1 + 5 cm / distance) over √3. Near field: millimetres count there, not
/// centimetres, and the part is left out (zero).
/// </remarks>
internal static class UncertaintyOfPosition
{
    /// <summary>Each coordinate is known to ± 5 cm (design, "What may be believed"), evenly likely in between: 5 cm / √3 each, 5 cm for the three together.</summary>
    internal const double OffsetMetres = 0.05;
    private const double TwoPlacings = 1.4142135623730951;        // √2
    private const double LimitsToStandard = 1.7320508075688772;   // √3: JCGM 100:2008 (GUM), 4.3.7
    internal const double DiffuseScatterDb = 5.57;                // fact sheet 15.1
    private const double HalfWidthOctaves = 0.5;
    private const double LiAtOne = Math.PI * Math.PI / 6;

    internal static double[] StandardDb(Take take, Response response, double speedOfSoundMetresPerSecond)
    {
        var grid = response.Grid;
        if (take.Field == SoundField.Near) return new double[grid.Count];
        if (take.Field == SoundField.Free)
            return [.. Enumerable.Repeat(take.DistanceMm is { } mm ? Decibels.FromAmplitude(1 + OffsetMetres / (mm / 1000)) / LimitsToStandard : double.NaN, grid.Count)];
        var scatter = Scatter(response);
        return [.. scatter.Select((scatterDb, k) => scatterDb * ChangeOverScatter(grid[k], speedOfSoundMetresPerSecond))];
    }

    /// <summary>The same between two placings of one microphone, each up to 5 cm off its place: they lie √2 farther apart.</summary>
    internal static double[] BetweenPlacingsDb(Take take, Response response, double speedOfSoundMetresPerSecond)
    {
        if (take.Field != SoundField.Room) return [.. StandardDb(take, response, speedOfSoundMetresPerSecond).Select(db => TwoPlacings * db)];
        var scatter = Scatter(response);
        return [.. scatter.Select((scatterDb, k) => scatterDb * ChangeOverScatter(response.Grid[k], speedOfSoundMetresPerSecond, TwoPlacings * OffsetMetres))];
    }

    /// <summary>√(2 (1 − Li₂(γ)/Li₂(1))): the change over a distance, 5 cm unless it is said, as a multiple of the scatter.</summary>
    internal static double ChangeOverScatter(double frequencyHz, double speedOfSoundMetresPerSecond, double distanceMetres = OffsetMetres)
    {
        var phase = 2 * Math.PI * frequencyHz / speedOfSoundMetresPerSecond * distanceMetres;
        var correlation = Math.Sin(phase) / phase;
        var kept = correlation * correlation;
        return Math.Sqrt(2 * Math.Max(0, 1 - Dilogarithm(kept) / LiAtOne));
    }

    /// <summary>Li₂(x) = Σ xⁿ / n² for x in [0, 1]; above one half by Euler's Li₂(x) = π²/6 − ln x · ln(1 − x) − Li₂(1 − x), which converges there.</summary>
    internal static double Dilogarithm(double x)
    {
        if (x >= 1) return LiAtOne;
        if (x > 0.5) return LiAtOne - Math.Log(x) * Math.Log(1 - x) - Dilogarithm(1 - x);
        var (sum, power) = (0.0, 1.0);
        for (var n = 1; n <= 60; n++) sum += (power *= x) / ((double)n * n);   // 2⁻⁶⁰: below the last digit
        return sum;
    }

    /// <summary>Standard deviation of the levels about a straight line over one octave round each point: of the trusted ones, or of all where fewer than three are.</summary>
    private static double[] Scatter(Response response)
    {
        var levels = response.LevelsDb();
        var trusted = new double[levels.Length];
        for (var k = 0; k < levels.Length; k++) trusted[k] = response.LevelTrust[k] ? levels[k] : double.NaN;
        var reach = (int)(HalfWidthOctaves * response.Grid.PointsPerOctave);
        var scatter = new double[levels.Length];
        for (var k = 0; k < scatter.Length; k++)
        {
            var (first, end) = (Math.Max(0, k - reach), Math.Min(levels.Length, k + reach + 1));
            scatter[k] = Math.Min(DiffuseScatterDb, AboutLine(trusted.AsSpan(first, end - first)) ?? AboutLine(levels.AsSpan(first, end - first)) ?? DiffuseScatterDb);
        }
        return scatter;
    }

    /// <summary>Standard deviation of the finite values about their straight line (n − 2 degrees of freedom); null where fewer than three are finite.</summary>
    private static double? AboutLine(ReadOnlySpan<double> values)
    {
        var (count, x, y) = (0, 0.0, 0.0);
        for (var n = 0; n < values.Length; n++)
            if (double.IsFinite(values[n])) (count, x, y) = (count + 1, x + n, y + values[n]);
        if (count < 3) return null;
        var (xx, xy, yy) = (0.0, 0.0, 0.0);
        for (var n = 0; n < values.Length; n++)
        {
            if (!double.IsFinite(values[n])) continue;
            var (along, up) = (n - x / count, values[n] - y / count);
            (xx, xy, yy) = (xx + along * along, xy + along * up, yy + up * up);
        }
        return Math.Sqrt(Math.Max(0, yy - xy * xy / xx) / (count - 2));
    }
}
