// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Rooms;

namespace Sweepbook.Simulation;

/// <summary>
/// Sound pressure as a sum over the mirror images of the source in rigid walls: h(t) = Σ δ(t − r/c) / r, each delay to a fraction of a sample.
/// Losses are put on afterwards (<see cref="RoomPath"/>).
/// </summary>
/// <remarks>
/// Fractional delays are a sine cardinal under a Hann window of 64 taps: flat to 0.46 of the sample rate. Pressure in units of what the source gives at 1 m.
/// Source: J. B. Allen, D. A. Berkley, "Image method for efficiently simulating small-room acoustics", J. Acoust. Soc. Am. 65 (1979) 943–950 (from memory).
/// </remarks>
internal static class ImageField
{
    private const int HalfTaps = 32;

    /// <summary>The rigid-wall impulse responses: alike in all directions, and of a source that radiates (1 + cos θ) / 2 about its aim.</summary>
    public static (double[] AllRound, double[] Forward) Responses(
        RectangularRoom room, Position source, Position seat, Position? aim, double lengthSeconds, int originSamples, int sampleRateHz)
    {
        var length = originSamples + (int)Math.Ceiling(lengthSeconds * sampleRateHz) + HalfTaps + 1;
        var (allRound, forward) = (new double[length], new double[aim is null ? 0 : length]);
        var speed = room.SpeedOfSoundMetresPerSecond;
        var reach = lengthSeconds * speed;
        var axis = aim is { } point ? Unit(point.XMetres - source.XMetres, point.YMetres - source.YMetres, point.ZMetres - source.ZMetres) : default;
        var (alongX, alongY, alongZ) = (Along(source.XMetres, seat.XMetres, room.LengthMetres, reach),
            Along(source.YMetres, seat.YMetres, room.WidthMetres, reach), Along(source.ZMetres, seat.ZMetres, room.HeightMetres, reach));
        foreach (var x in alongX)
            foreach (var y in alongY)
            {
                var flat = x.Offset * x.Offset + y.Offset * y.Offset;
                if (flat > reach * reach) continue;
                foreach (var z in alongZ)
                {
                    var distance = Math.Sqrt(flat + z.Offset * z.Offset);
                    if (distance > reach) continue;
                    var position = originSamples + distance / speed * sampleRateHz;
                    Add(allRound, position, 1 / distance);
                    if (aim is null) continue;
                    var cosine = (x.Leaving * axis.X + y.Leaving * axis.Y + z.Leaving * axis.Z) / distance;
                    Add(forward, position, (1 + cosine) / (2 * distance));
                }
            }
        return (allRound, forward);
    }

    /// <summary>Adds amplitude · sinc(n − position), windowed; what lies outside the array is dropped.</summary>
    public static void Add(double[] response, double positionSamples, double amplitudeRatio)
    {
        var whole = (int)Math.Floor(positionSamples);
        var fraction = positionSamples - whole;
        var (windowSine, windowCosine) = Math.SinCos(Math.PI * fraction / HalfTaps);
        var sine = Math.Sin(Math.PI * fraction) / Math.PI;
        for (var k = 1 - HalfTaps; k <= HalfTaps; k++)
        {
            var at = whole + k;
            if ((uint)at >= (uint)response.Length) continue;
            var from = k - fraction;
            var cardinal = Math.Abs(from) < 1e-9 ? 1 : ((k & 1) == 0 ? -sine : sine) / from;
            var window = 0.5 + 0.5 * (TapCosines[k + HalfTaps] * windowCosine + TapSines[k + HalfTaps] * windowSine);
            response[at] += amplitudeRatio * cardinal * window;
        }
    }

    private static readonly double[] TapCosines = [.. Enumerable.Range(-HalfTaps, 2 * HalfTaps + 1).Select(k => Math.Cos(Math.PI * k / HalfTaps))];
    private static readonly double[] TapSines = [.. Enumerable.Range(-HalfTaps, 2 * HalfTaps + 1).Select(k => Math.Sin(Math.PI * k / HalfTaps))];

    /// <summary>One axis: seat minus image, and the same step as it left the real source (mirrored back for odd images).</summary>
    private static List<(double Offset, double Leaving)> Along(double source, double seat, double room, double reach)
    {
        var images = new List<(double, double)>();
        var most = (int)Math.Ceiling(reach / (2 * room)) + 1;
        for (var m = -most; m <= most; m++)
        {
            var (even, odd) = (seat - source - 2 * m * room, seat + source - 2 * m * room);
            if (Math.Abs(even) <= reach) images.Add((even, even));
            if (Math.Abs(odd) <= reach) images.Add((odd, -odd));
        }
        return images;
    }

    private static (double X, double Y, double Z) Unit(double x, double y, double z)
    {
        var length = Math.Sqrt(x * x + y * y + z * z);
        return (x / length, y / length, z / length);
    }
}
