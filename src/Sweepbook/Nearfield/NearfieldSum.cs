// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;

namespace Sweepbook.Nearfield;

/// <summary>What the cones and ports of one box radiate together, from the pressures close to each: Σ n · √(S/S₁) · p, p the pressure at each face.</summary>
/// <remarks>
/// The scale is that of one cone's near field, the first of them: pressure close to a piston is volume velocity over radius, and far away volume velocities add, so each
/// pressure counts by its radius, √(S/S₁) (not by its area: the wrong rules give 3.7 dB too much or too little for a usual port, fact sheet 7.8). Pressures are first
/// corrected for the microphone's distance and for frequency (<see cref="Radiator.AtFace"/>), and, where the places on the front are stated, for the sound of the other
/// radiators in each microphone. All were taken with one time zero, one setting, one drive.
/// Misleads where that sound is not taken off (below tuning it may raise the sum by some decibels), where a port whistles or compresses, in rooms whose standing waves
/// reach the microphone (never at less than a few centimetres), and above the limit of <see cref="NearfieldLimit"/>. The phase is the sound's as the microphone heard it: what the microphone
/// itself turns (9° at 20 Hz with a corner of 3 Hz) is in it unless its phase was taken out.
/// Source: D. B. Keele, "Low-Frequency Loudspeaker Assessment by Nearfield Sound-Pressure Measurement", J. Audio Eng. Soc. 22 (1974) 154–162, equations from memory,
/// derived again from the volume velocity (fact sheet 7.1, 7.8).
/// </remarks>
public sealed class NearfieldSum
{
    private readonly Response[] _scaled;
    private readonly double _speedOfSound;

    private NearfieldSum(Radiator[] radiators, PartSums sums, PortBalance balance, Response[] scaled, Response sum, double[] uncertaintyDb, NearfieldLimit limit, NearfieldLimit coneLimit, bool isCrosstalkTakenOff, double speedOfSound)
    {
        (Radiators, _scaled, UntilCones, UncertaintyDb, Limit, ConeLimit, _speedOfSound) = (radiators, scaled, sum, uncertaintyDb, limit, coneLimit, speedOfSound);
        (Sums, IsCrosstalkTakenOff) = (sums, isCrosstalkTakenOff);
        Response = sum.Doubted(UpTo(limit), UpTo(limit));
        Check = TuningCheck.Of(Response, sums, balance);
    }

    /// <summary>The sum.</summary>
    /// <param name="radiators">Cones, then ports and passive radiators, in any order; at least one cone.</param>
    /// <param name="box">The outside of the box, for the upper limit; the default where it is not known.</param>
    /// <param name="speedOfSoundMetresPerSecond">Speed of sound, above zero.</param>
    /// <returns>The sum, with masks and uncertainty.</returns>
    /// <exception cref="ArgumentException">There is no cone, a part has no common time zero with the first, or their grids or level references differ; the message names the part and says what to do.</exception>
    /// <remarks>See the type for when it misleads and for the source.</remarks>
    public static NearfieldSum Of(IReadOnlyList<Radiator> radiators, BoxSize box, double speedOfSoundMetresPerSecond)
    {
        ArgumentNullException.ThrowIfNull(radiators);
        var first = radiators.FirstOrDefault(radiator => radiator.Kind == RadiatorKind.Cone)
            ?? throw new ArgumentException("None of the radiators is a cone with a motor; a box has at least one.", nameof(radiators));
        Radiator[] ordered = [first, .. radiators.Where(radiator => radiator != first)];
        foreach (var other in ordered.Skip(1))
            if (first.Response.TimeGroup.WhyNotWith(other.Response.TimeGroup, $"{first.Name} close up", $"{other.Name} close up") is { } why) throw new ArgumentException(why, nameof(radiators));
        foreach (var other in ordered.Skip(1)) _ = first.Response.Plus(other.Response);   // refuses what may not be added: grids, references
        var crosstalk = Crosstalk.Of(ordered, speedOfSoundMetresPerSecond);
        var scaled = ordered.Select((radiator, i) => crosstalk.AtFace[i].Times(Weights(radiator, first))).ToArray();
        var sum = scaled[0];
        foreach (var part in scaled.Skip(1)) sum = sum.Plus(part);
        sum = SumMask.Of(ordered, scaled, sum);
        var (limit, coneLimit) = (NearfieldLimit.Of(ordered, box, speedOfSoundMetresPerSecond), NearfieldLimit.OfCones(ordered, speedOfSoundMetresPerSecond));
        var sums = new PartSums(ordered, scaled);
        var balance = PortBalance.Of(sums, coneLimit.FrequencyHz);
        var budget = SumUncertainty.Of(ordered, scaled, sum, crosstalk, sums.IsPlainVented ? balance.ErrorRatio : 0);
        var doubted = budget.Judged(sum, ordered);
        var mask = Limits.UpTo(sum.Grid.FrequenciesHz, coneLimit.FrequencyHz, new(Doubt.NearField, coneLimit.Reason));
        return new(ordered, sums, balance, scaled, doubted.Doubted(mask, mask), budget.ExpandedDb, limit, coneLimit, crosstalk.IsTakenOff, speedOfSoundMetresPerSecond);
    }

    /// <summary>What was added, the first cone first.</summary>
    public IReadOnlyList<Radiator> Radiators { get; }

    /// <summary>The sum on the scale of the first cone's near field, with its masks; doubted above <see cref="Limit"/>.</summary>
    public Response Response { get; }

    /// <summary>Each part as it enters the sum, in the order of <see cref="Radiators"/>.</summary>
    public IReadOnlyList<Response> Parts => _scaled;

    /// <summary>± decibels per grid point within which the sum's level lies (coverage factor 2): repeatability or noise of each part, its distance and its area, and by how much more than these explain the port's share disagrees with the law of the vented box; large where cone and port cancel.</summary>
    /// <remarks>
    /// First order, as JCGM 100:2008 (GUM), 5.1.2, has it: where it exceeds some 4 dB it is a warning and no interval, and the sum is doubted. The microphone's own
    /// uncertainty is not in it; it shifts cone and port alike and stands in <see cref="LevelUncertainty.MicrophoneDb"/> of <see cref="Response"/>.
    /// </remarks>
    public IReadOnlyList<double> UncertaintyDb { get; }

    /// <summary>True where each microphone's share of the other radiators' sound was taken off; false where places are not stated, or several equal ones play.</summary>
    public bool IsCrosstalkTakenOff { get; }

    /// <summary>Up to where the sum tells what arrives far away.</summary>
    public NearfieldLimit Limit { get; }

    /// <summary>The same where the box's edges are reckoned with.</summary>
    public NearfieldLimit ConeLimit { get; }

    /// <summary>The tuning in hertz: where the port is a quarter of a turn ahead of the cone; NaN for a sealed box, or where it was not found.</summary>
    public double TuningHz => Check.TuningHz;

    /// <summary>How steeply the sum falls below the tuning (below its peak in a sealed box), in dB per octave; NaN where too little of it may be believed.</summary>
    public double SlopeDbPerOctave => Check.SlopeDbPerOctave;

    /// <summary>Tuning, slope and phase against what a vented or sealed box must do.</summary>
    public TuningCheck Check { get; }

    /// <summary>Phase of what ports and passive radiators radiate over that of the cones.</summary>
    /// <param name="frequencyHz">Frequency in hertz; the nearest grid point counts.</param>
    /// <returns>Degrees in (−180, 180]: near ±180 below the tuning, +90 at it, near 0 above; NaN where a phase is not trusted or there is no port.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The frequency lies outside the grid.</exception>
    /// <remarks>Misleads where the cone hardly moves, close to the tuning, if the microphone hears the port there. Source: fact sheet 7.9.</remarks>
    public double PhaseBetweenDegreesAt(double frequencyHz)
    {
        var grid = Response.Grid;
        if (!(frequencyHz >= grid[0] && frequencyHz <= grid[grid.Count - 1]))
            throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, FormattableString.Invariant($"Must be in [{grid[0]:0.###}, {grid[grid.Count - 1]:0.###}] Hz."));
        var nearest = Enumerable.Range(0, grid.Count).MinBy(k => Math.Abs(Math.Log2(grid[k] / frequencyHz)));
        return Sums.HasDriven && Sums.IsPhaseTrusted(nearest) ? (Sums.Driven(nearest) / Sums.Motor(nearest)).Phase * (180 / Math.PI) : double.NaN;
    }

    /// <summary>What arrives at a distance in front of the box.</summary>
    /// <param name="distanceMetres">Distance in metres, above zero.</param>
    /// <param name="space">Into what the box radiates.</param>
    /// <returns>The sum · a/(2r) · e^{−jkr} in half space, half of it in full space, with the same masks; the uncertainty holds that of the first cone's area too.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The distance is not above zero, or not finite.</exception>
    /// <remarks>
    /// It is a box without edges: between the two spaces lies <see cref="BaffleDiffraction"/>. Misleads nearer than three of the box's largest side, and in a room.
    /// Source: <see cref="Piston.FarRatio"/> (fact sheet 7.1).
    /// </remarks>
    public Response FarField(double distanceMetres, FieldSpace space) => Far(Response, distanceMetres, space, 1);

    /// <summary>The sum up to the limit of the cones, for whoever reckons with the box's edges.</summary>
    internal Response UntilCones { get; }

    internal Response Far(Response sum, double distanceMetres, FieldSpace space, double gainRatio)
    {
        var ratio = gainRatio * Piston.FarRatio(Radiators[0].RadiusMetres, distanceMetres) * (space == FieldSpace.Full ? 0.5 : 1);
        var factors = new Complex[sum.Count];
        for (var k = 0; k < factors.Length; k++) factors[k] = Complex.FromPolarCoordinates(ratio, -2 * Math.PI * sum.Grid[k] / _speedOfSound * distanceMetres);
        return SumUncertainty.WithScale(sum.Times(factors));
    }

    internal PartSums Sums { get; }

    private TrustMask UpTo(NearfieldLimit limit) => Limits.UpTo(UntilCones.Grid.FrequenciesHz, limit.FrequencyHz, new(Doubt.NearField, limit.Reason));

    private static Complex[] Weights(Radiator radiator, Radiator first)
    {
        var factors = new Complex[radiator.Response.Count];
        Array.Fill(factors, radiator.Count * Math.Sqrt(radiator.AreaSquareMetres / first.AreaSquareMetres));
        return factors;
    }
}
