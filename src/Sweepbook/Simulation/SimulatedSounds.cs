// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;

namespace Sweepbook.Simulation;

/// <summary>Sound at one place while a source plays, and its truth.</summary>
internal interface ISimulatedSound
{
    /// <summary>When the direct sound is there, from the moment it leaves.</summary>
    double ArrivalSeconds { get; }

    /// <summary>Pressure at the place over digital signal, linear part.</summary>
    Complex ResponseAt(double frequencyHz);

    /// <summary>The pressure while a digital signal plays.</summary>
    double[] Apply(double[] digital);
}

/// <summary>A source in the room.</summary>
internal sealed class RoomSound(SourceModel source, RoomPath path) : ISimulatedSound
{
    public double ArrivalSeconds => path.ArrivalSeconds;

    public Complex ResponseAt(double frequencyHz) => source.ResponseAt(frequencyHz) * path.ResponseAt(frequencyHz);

    public double[] Apply(double[] digital) => path.Apply(source.Apply(digital));
}

/// <summary>A part of a box: its filter, and delays of what arrives.</summary>
internal sealed class BoxSound : ISimulatedSound
{
    private const int Reach = 40;   // taps either side of the outermost delays, a little more than the windowed cardinal has

    private readonly RecursiveFilter _filter;
    private readonly double[] _taps;
    private readonly int _sampleRateHz;

    private BoxSound(RecursiveFilter filter, IReadOnlyList<(double Seconds, double Ratio)> arrivals, int sampleRateHz)
    {
        (_filter, _sampleRateHz, ArrivalSeconds) = (filter, sampleRateHz, arrivals[0].Seconds);
        _taps = new double[(int)Math.Ceiling(arrivals.Max(arrival => arrival.Seconds) * sampleRateHz) + 2 * Reach];
        foreach (var (seconds, ratio) in arrivals)
        {
            var cardinal = new double[_taps.Length];
            ImageField.Add(cardinal, Reach + seconds * sampleRateHz, 1);
            var scale = ratio / cardinal.Sum();   // exact at 0 Hz, because close to a cone two arrivals nearly cancel
            for (var n = 0; n < _taps.Length; n++) _taps[n] += scale * cardinal[n];
        }
    }

    public double ArrivalSeconds { get; }

    /// <summary>On the axis of a rigid disc in a wide wall, at any distance.</summary>
    /// <remarks>
    /// p = ρ c u (e^(−jkd) − e^(−jk√(d² + a²))): the disc's centre and its rim. With u = U / (π a²) and the far pressure at 1 m j ω ρ U / (2π) it is
    /// 2c / (a² jω) of that far pressure times the difference; at low frequencies (2/a)(√(1 + (d/a)²) − d/a), as fact sheets 7.1 and 7.2 say.
    /// Source: the Rayleigh integral on the axis, closed form of every textbook; derived here.
    /// </remarks>
    public static BoxSound Near(BoxModel box, PlannedRadiator radiator, double distanceMetres, double speedOfSound, int sampleRateHz)
    {
        var radius = radiator.RadiusMetres;
        var ratio = box.GainRatio * 2 * speedOfSound / (radius * radius);
        return new(box.Velocity(radiator.Kind), [(distanceMetres / speedOfSound, ratio), (Math.Sqrt(distanceMetres * distanceMetres + radius * radius) / speedOfSound, -ratio)], sampleRateHz);
    }

    /// <summary>The whole box in the open, heard on the axis of its cone: the edge of its front and the six surfaces around it.</summary>
    /// <remarks>
    /// From the cone rays run along the front in all directions; where one meets the edge, half of it goes on around the corner and the other half, turned
    /// over, comes back to the listener, so that far below the size of the front half of the pressure is left, and far above all of it.
    /// A surface returns the part of the plan, once, from a mirror image that gives half the pressure in all directions.
    /// Misleads off the axis, near edges that are round, and where the depth of the box matters. Source: own derivation, rays and edges only.
    /// </remarks>
    public static BoxSound Free(BoxModel box, PlannedRadiator radiator, Position place, Position listener, Rooms.RectangularRoom room, int sampleRateHz)
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
        return new(box.Far(RadiatorKind.Whole), arrivals, sampleRateHz);
    }

    public Complex ResponseAt(double frequencyHz) => _filter.ResponseAt(frequencyHz) * DirectConvolution.ResponseAt(_taps, Reach, _sampleRateHz, frequencyHz);

    public double[] Apply(double[] digital) => DirectConvolution.Centred(_filter.Apply(digital), _taps, Reach);
}
