// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Spectra;

namespace Sweepbook.Nearfield;

/// <summary>One cone, port or passive radiator, measured close up, with what is needed to turn its pressure into what it radiates.</summary>
/// <remarks>
/// Where several equal ones play, one of them is measured and counts for all. Misleads where the equal ones are not equal, or where the microphone hears the
/// other parts of the box too (see <see cref="NearfieldSum"/>). Own definition; the laws are beside <see cref="Piston"/>.
/// </remarks>
public sealed class Radiator
{
    private const double StatedToMetres = 0.001;     // own choice: a ruler in front of a cone
    private const double UnstatedToMetres = 0.010;   // own choice: a microphone put "as close as it goes"
    private const double LongestMetres = 1;          // not near any more

    /// <summary>A radiator.</summary>
    /// <param name="name">What it is called in messages and tables.</param>
    /// <param name="kind">What it is.</param>
    /// <param name="response">Pressure close to one of them over what drove it; calibration already off.</param>
    /// <param name="areaSquareMetres">Effective area of one of them in m², above zero.</param>
    /// <param name="distanceMetres">From its face (a port: from its mouth) to the microphone, in [0, 1] m; NaN where nobody measured it: 0 is then assumed.</param>
    /// <param name="count">How many equal ones play together, 1 or more.</param>
    /// <exception cref="ArgumentException">A value lies outside its interval.</exception>
    public Radiator(string name, RadiatorKind kind, Response response, double areaSquareMetres, double distanceMetres, int count = 1)
    {
        ArgumentException.ThrowIfNullOrEmpty(name);
        ArgumentNullException.ThrowIfNull(response);
        ArgumentOutOfRangeException.ThrowIfLessThan(count, 1);
        if (!(areaSquareMetres > 0 && double.IsFinite(areaSquareMetres)))
            throw new ArgumentOutOfRangeException(nameof(areaSquareMetres), areaSquareMetres, $"The area of {name} must be in (0, ∞) m²: without it nobody knows how much air moves behind its pressure.");
        if (!double.IsNaN(distanceMetres) && !(distanceMetres >= 0 && distanceMetres <= LongestMetres))
            throw new ArgumentOutOfRangeException(nameof(distanceMetres), distanceMetres, $"The microphone of {name} must be in [0, {LongestMetres}] m from it, or NaN where unknown.");
        (Name, Kind, Response, AreaSquareMetres, Count) = (name, kind, response, areaSquareMetres, count);
        (DistanceMetres, IsDistanceStated) = double.IsNaN(distanceMetres) ? (0, false) : (distanceMetres, true);
    }

    /// <summary>What it is called.</summary>
    public string Name { get; }

    /// <summary>What it is.</summary>
    public RadiatorKind Kind { get; }

    /// <summary>The response as it was measured.</summary>
    public Response Response { get; }

    /// <summary>Effective area of one of them, in m².</summary>
    public double AreaSquareMetres { get; }

    /// <summary>How many equal ones play together.</summary>
    public int Count { get; }

    /// <summary>From its face to the microphone, in metres; 0 where unknown.</summary>
    public double DistanceMetres { get; }

    /// <summary>False where the distance is not known and 0 is assumed.</summary>
    public bool IsDistanceStated { get; }

    /// <summary>Radius of a round piston of the same area, in metres: √(S/π).</summary>
    public double RadiusMetres => Math.Sqrt(AreaSquareMetres / Math.PI);

    /// <summary>Where its centre lies on the front, from the left and from the lower edge in metres; null where unknown.</summary>
    public (double FromLeftMetres, double FromBottomMetres)? Place { get; init; }

    /// <summary>How far the distance may be off either way, in metres: 1 mm where it is stated, 10 mm where it is not (own choices, every value within as likely).</summary>
    public double DistanceUncertaintyMetres => IsDistanceStated ? StatedToMetres : UnstatedToMetres;

    /// <summary>The pressure at the middle of its face as it would be without distance, delay or loss towards high frequencies: p / <see cref="Piston.OnAxisRatio"/>.</summary>
    /// <param name="speedOfSoundMetresPerSecond">Speed of sound, above zero.</param>
    /// <returns>A response with the same masks; it is jωρ/(πa) times the volume velocity of one radiator.</returns>
    /// <remarks>See <see cref="Piston.OnAxisRatio"/> for when it misleads and for the source.</remarks>
    public Response AtFace(double speedOfSoundMetresPerSecond) => Response.Times(Inverse(speedOfSoundMetresPerSecond));

    private Complex[] Inverse(double speedOfSound)
    {
        var factors = new Complex[Response.Count];
        for (var k = 0; k < factors.Length; k++) factors[k] = 1 / Piston.OnAxisRatio(Math.Min(Response.Grid[k], HighestModelledHz(speedOfSound)), DistanceMetres, RadiusMetres, speedOfSound);
        return factors;
    }

    /// <summary>ka = 3: well above every limit, well below the first zero of the on-axis pressure (ka = 2π on the face), where dividing by it would mean nothing.</summary>
    private double HighestModelledHz(double speedOfSound) => Piston.FrequencyHzOf(3, RadiusMetres, speedOfSound);

    /// <summary>Standard uncertainty of the pressure at the face from that of the distance, as a part of it.</summary>
    internal double DistanceUncertaintyRatio => DistanceUncertaintyMetres / Math.Sqrt(3) / Math.Sqrt(DistanceMetres * DistanceMetres + RadiusMetres * RadiusMetres);
}
