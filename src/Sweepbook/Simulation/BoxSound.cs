// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Rooms;

namespace Sweepbook.Simulation;

/// <summary>One or two parts of a box: their filters, and delays of what arrives.</summary>
internal sealed class BoxSound : ISimulatedSound
{
    private const int Reach = 40;   // taps either side of the outermost delays, a little more than the windowed cardinal has

    private readonly List<(RecursiveFilter Filter, double[] Taps)> _parts = [];
    private readonly int _sampleRateHz;

    private BoxSound(RecursiveFilter filter, IReadOnlyList<(double Seconds, double Ratio)> arrivals, int sampleRateHz)
    {
        (_sampleRateHz, ArrivalSeconds) = (sampleRateHz, arrivals[0].Seconds);
        Add(filter, arrivals);
    }

    private void Add(RecursiveFilter filter, IReadOnlyList<(double Seconds, double Ratio)> arrivals)
    {
        var taps = new double[(int)Math.Ceiling(arrivals.Max(arrival => arrival.Seconds) * _sampleRateHz) + 2 * Reach];
        foreach (var (seconds, ratio) in arrivals)
        {
            var cardinal = new double[taps.Length];
            ImageField.Add(cardinal, Reach + seconds * _sampleRateHz, 1);
            var scale = ratio / cardinal.Sum();   // exact at 0 Hz, because close to a cone two arrivals nearly cancel
            for (var n = 0; n < taps.Length; n++) taps[n] += scale * cardinal[n];
        }
        _parts.Add((filter, taps));
    }

    public double ArrivalSeconds { get; }

    /// <summary>On the axis of a rigid disc in a wide wall, at any distance; and what is heard there of the other disc, as of a small source on the same wall.</summary>
    /// <remarks>
    /// p = ρ c u (e^(−jkd) − e^(−jk√(d² + a²))): the disc's centre and its rim. With u = U / (π a²) and the far pressure at 1 m j ω ρ U / (2π) it is
    /// 2c / (a² jω) of that far pressure times the difference; at low frequencies (2/a)(√(1 + (d/a)²) − d/a), as fact sheets 7.1 and 7.2 say.
    /// The division by jω is the trapezoid, whose readings are low by (πf/rate)²/3: 0.015 dB at 1 kHz and 48 kHz, 0.3 dB at 5 kHz, where a cone is no disc any more.
    /// Source: the Rayleigh integral on the axis, closed form of every textbook; derived here.
    /// </remarks>
    public static BoxSound Near(BoxModel box, PlannedRadiator radiator, PlannedRadiator? other, double distanceMetres, double speedOfSound, int sampleRateHz)
    {
        var radius = radiator.RadiusMetres;
        var ratio = box.GainRatio * 2 * speedOfSound / (radius * radius);
        var sound = new BoxSound(box.Velocity(radiator.Kind),
            [(distanceMetres / speedOfSound, ratio), (Math.Sqrt(distanceMetres * distanceMetres + radius * radius) / speedOfSound, -ratio)], sampleRateHz);
        if (other is null) return sound;
        var (across, up) = (radiator.BaffleXMetres - other.BaffleXMetres, radiator.BaffleYMetres - other.BaffleYMetres);
        var away = Math.Sqrt(across * across + up * up + distanceMetres * distanceMetres);
        sound.Add(box.Far(other.Kind), [(away / speedOfSound, box.GainRatio / away)]);
        return sound;
    }

    /// <summary>The whole box in the open, heard on the axis of its cone: the edge of its front and the six surfaces around it.</summary>
    /// <remarks>
    /// From the cone rays run along the front in all directions; where one meets the edge, half of it goes on around the corner and the other half, turned
    /// over, comes back to the listener, so that far below the size of the front half of the pressure is left, and far above all of it.
    /// A surface returns the part of the plan, once, from a mirror image that gives half the pressure in all directions.
    /// Misleads off the axis, near edges that are round, and where the depth of the box matters. Source: own derivation, rays and edges only.
    /// </remarks>
    public static BoxSound Free(BoxModel box, PlannedRadiator radiator, Position place, Position listener, RectangularRoom room, int sampleRateHz)
    {
        const int Rays = 360;
        var (speed, distance) = (room.SpeedOfSoundMetresPerSecond, place.DistanceMetresTo(listener));
        var arrivals = new List<(double, double)> { (distance / speed, box.GainRatio / distance) };
        for (var ray = 0; ray < Rays; ray++)
        {
            var (up, across) = Math.SinCos(2 * Math.PI * (ray + 0.5) / Rays);
            var toSide = across > 0 ? (box.Plan.WidthMetres - radiator.BaffleXMetres) / across : -radiator.BaffleXMetres / across;
            var toEnd = up > 0 ? (box.Plan.HeightMetres - radiator.BaffleYMetres) / up : -radiator.BaffleYMetres / up;
            var toEdge = Math.Min(toSide, toEnd);
            var onward = Math.Sqrt(distance * distance + toEdge * toEdge);
            arrivals.Add(((toEdge + onward) / speed, -0.5 * box.GainRatio / (Rays * onward)));
        }
        Position[] images =
        [
            place with { ZMetres = -place.ZMetres }, place with { ZMetres = 2 * room.HeightMetres - place.ZMetres }, place with { XMetres = -place.XMetres },
            place with { XMetres = 2 * room.LengthMetres - place.XMetres }, place with { YMetres = -place.YMetres }, place with { YMetres = 2 * room.WidthMetres - place.YMetres },
        ];
        if (box.Plan.ReflectionRatio > 0)
            foreach (var image in images)
                arrivals.Add((image.DistanceMetresTo(listener) / speed, 0.5 * box.GainRatio * box.Plan.ReflectionRatio / image.DistanceMetresTo(listener)));
        return new(box.Far(BoxPart.Whole), arrivals, sampleRateHz);
    }

    public Complex ResponseAt(double frequencyHz)
    {
        var sum = Complex.Zero;
        foreach (var (filter, taps) in _parts) sum += filter.ResponseAt(frequencyHz) * DirectConvolution.ResponseAt(taps, Reach, _sampleRateHz, frequencyHz);
        return sum;
    }

    public double[] Apply(double[] digital)
    {
        var sum = new double[digital.Length];
        foreach (var (filter, taps) in _parts)
        {
            var part = DirectConvolution.Centred(filter.Apply(digital), taps, Reach);
            for (var n = 0; n < sum.Length; n++) sum[n] += part[n];
        }
        return sum;
    }
}
