// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Rooms;

/// <summary>An empty rectangular room with rigid walls: what it predicts for modes, their shapes and their number.</summary>
/// <remarks>
/// Misleads where the room is not a box: an L-shape, a sloping ceiling or an open door has other modes than these.
/// Source: Rayleigh's equation for the rectangular enclosure (fact sheet 8.1–8.8).
/// </remarks>
public sealed class RectangularRoom
{
    /// <summary>A room by its three inner lengths and the temperature of its air.</summary>
    /// <param name="lengthMetres">Inner length in metres, above zero.</param>
    /// <param name="widthMetres">Inner width in metres, above zero.</param>
    /// <param name="heightMetres">Inner height in metres, above zero.</param>
    /// <param name="temperatureCelsius">Air temperature in degrees Celsius.</param>
    /// <exception cref="ArgumentOutOfRangeException">A length is not above zero and finite, or the temperature is impossible.</exception>
    public RectangularRoom(double lengthMetres, double widthMetres, double heightMetres, double temperatureCelsius = Air.DefaultTemperatureCelsius)
        : this(Above(lengthMetres, nameof(lengthMetres)), Above(widthMetres, nameof(widthMetres)), Above(heightMetres, nameof(heightMetres)),
            new SpeedOfSound(Air.SpeedOfSoundMetresPerSecond(temperatureCelsius)))
    {
    }

    private RectangularRoom(double lengthMetres, double widthMetres, double heightMetres, SpeedOfSound speed) =>
        (LengthMetres, WidthMetres, HeightMetres, SpeedOfSoundMetresPerSecond) = (lengthMetres, widthMetres, heightMetres, speed.MetresPerSecond);

    /// <summary>Inner length in metres.</summary>
    public double LengthMetres { get; }

    /// <summary>Inner width in metres.</summary>
    public double WidthMetres { get; }

    /// <summary>Inner height in metres.</summary>
    public double HeightMetres { get; }

    /// <summary>Speed of sound in this room's air, in metres per second.</summary>
    public double SpeedOfSoundMetresPerSecond { get; }

    /// <summary>Volume in cubic metres.</summary>
    public double VolumeCubicMetres => LengthMetres * WidthMetres * HeightMetres;

    /// <summary>True where the point lies inside the room, walls included.</summary>
    public bool Contains(Position point) =>
        point.XMetres >= 0 && point.XMetres <= LengthMetres
        && point.YMetres >= 0 && point.YMetres <= WidthMetres
        && point.ZMetres >= 0 && point.ZMetres <= HeightMetres;

    /// <summary>f = (c / 2) · √((nx / L)² + (ny / W)² + (nz / H)²) for every order below a frequency.</summary>
    /// <param name="frequencyHz">Upper limit in hertz, itself excluded; 0 or more. The number of modes grows with its cube.</param>
    /// <returns>Rising by frequency, equal frequencies by order; the uniform pressure of order 0,0,0 is not a mode and is left out.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The limit is negative, infinite or NaN.</exception>
    /// <remarks>Rigid walls: see <see cref="PredictedMode"/>. Source: fact sheet 8.1, confirmed with the published examples 8.2–8.5.</remarks>
    public IReadOnlyList<PredictedMode> ModesBelow(double frequencyHz)
    {
        if (!(frequencyHz >= 0 && double.IsFinite(frequencyHz)))
            throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, "Must be in [0, ∞) Hz.");
        var halfWaves = 2 * frequencyHz / SpeedOfSoundMetresPerSecond;
        var modes = new List<PredictedMode>();
        for (var nx = 0; nx <= halfWaves * LengthMetres; nx++)
            for (var ny = 0; ny <= halfWaves * WidthMetres; ny++)
                for (var nz = 0; nz <= halfWaves * HeightMetres; nz++)
                    if (nx + ny + nz > 0 && FrequencyOfOrder(nx, ny, nz) is var modeHz && modeHz < frequencyHz)
                        modes.Add(new(nx, ny, nz, modeHz));
        return [.. modes.OrderBy(mode => mode.FrequencyHz).ThenBy(mode => mode.AlongLength).ThenBy(mode => mode.AlongWidth)];
    }

    /// <summary>ψ = cos(π nx x / L) · cos(π ny y / W) · cos(π nz z / H): how strongly a point meets a mode.</summary>
    /// <param name="mode">The mode; only its order is used.</param>
    /// <param name="point">A point inside the room.</param>
    /// <returns>In [−1, 1]: ±1 at a corner, 0 on a nodal plane; opposite signs move in opposite phase.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The point lies outside the room.</exception>
    /// <remarks>Rigid walls. Source: Rayleigh, as for <see cref="ModesBelow"/>; symmetry sums in fact sheet 9.2.</remarks>
    public double ShapeAt(PredictedMode mode, Position point)
    {
        if (!Contains(point))
            throw new ArgumentOutOfRangeException(nameof(point), point, $"Must lie inside {LengthMetres} × {WidthMetres} × {HeightMetres} m.");
        return Math.Cos(Math.PI * mode.AlongLength * point.XMetres / LengthMetres)
            * Math.Cos(Math.PI * mode.AlongWidth * point.YMetres / WidthMetres)
            * Math.Cos(Math.PI * mode.AlongHeight * point.ZMetres / HeightMetres);
    }

    /// <summary>N = 4πV f³ / (3c³) + πS f² / (4c²) + E f / (8c): how many modes to expect below a frequency.</summary>
    /// <param name="frequencyHz">Frequency in hertz, 0 or more.</param>
    /// <returns>The expected count, not whole; S is the area of all walls and E the length of all edges.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The frequency is negative, infinite or NaN.</exception>
    /// <remarks>A smooth mean of a staircase: a few modes off at low frequencies. Source: fact sheet 8.7.</remarks>
    public double ExpectedCountBelow(double frequencyHz)
    {
        if (!(frequencyHz >= 0 && double.IsFinite(frequencyHz)))
            throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, "Must be in [0, ∞) Hz.");
        var perMetre = frequencyHz / SpeedOfSoundMetresPerSecond;
        var area = 2 * (LengthMetres * WidthMetres + WidthMetres * HeightMetres + LengthMetres * HeightMetres);
        var edges = 4 * (LengthMetres + WidthMetres + HeightMetres);
        return perMetre * (perMetre * (perMetre * 4 * Math.PI * VolumeCubicMetres / 3 + Math.PI * area / 4) + edges / 8);
    }

    /// <summary>2000 · √(T60 / V): above it modes overlap so much that only statistics of the field make sense.</summary>
    /// <param name="t60Seconds">Reverberation time in seconds, above zero.</param>
    /// <returns>Hertz.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The time is not above zero and finite.</exception>
    /// <remarks>A broad transition, not an edge: an octave either way behaves like both sides. Source: Schroeder; fact sheet 8.6.</remarks>
    public double SchroederFrequencyHz(double t60Seconds) => 2000 * Math.Sqrt(Above(t60Seconds, nameof(t60Seconds)) / VolumeCubicMetres);

    /// <summary>dN/df = 4πV f² / c³ + πS f / (2c²) + E / (8c): how many modes to expect per hertz round a frequency.</summary>
    /// <param name="frequencyHz">Frequency in hertz, 0 or more.</param>
    /// <returns>Modes per hertz; S is the area of all walls and E the length of all edges. The derivative of <see cref="ExpectedCountBelow"/>.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The frequency is negative, infinite or NaN.</exception>
    /// <remarks>A smooth mean of a staircase: of no use where it says less than about one mode per bandwidth. Source: fact sheet 8.7 and 8.8.</remarks>
    public double ModalDensityPerHz(double frequencyHz)
    {
        if (!(frequencyHz >= 0 && double.IsFinite(frequencyHz)))
            throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, "Must be in [0, ∞) Hz.");
        var perMetre = frequencyHz / SpeedOfSoundMetresPerSecond;
        var area = 2 * (LengthMetres * WidthMetres + WidthMetres * HeightMetres + LengthMetres * HeightMetres);
        var edges = 4 * (LengthMetres + WidthMetres + HeightMetres);
        return (perMetre * (perMetre * 4 * Math.PI * VolumeCubicMetres + Math.PI * area / 2) + edges / 8) / SpeedOfSoundMetresPerSecond;
    }

    /// <summary>Δf = ln(1000) / (π T60), about 2.2 / T60: how wide the peak of one mode is, 3 dB down at either side.</summary>
    /// <param name="t60Seconds">Decay time of that mode for 60 dB, in seconds, above zero.</param>
    /// <returns>Hertz; the quality factor of a mode at f is f / Δf.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The time is not above zero and finite.</exception>
    /// <remarks>
    /// Misleads where the decay time of a whole band stands in for that of one mode: axial modes usually last longer than the rest.
    /// Source: the exponential decay of one resonance; the rounded 2.2 is from memory (fact sheet 8.9).
    /// </remarks>
    public static double ModalBandwidthHz(double t60Seconds) => Math.Log(1000) / (Math.PI * Above(t60Seconds, nameof(t60Seconds)));

    internal static RectangularRoom WithSpeedOfSound(double lengthMetres, double widthMetres, double heightMetres, double metresPerSecond) =>
        new(lengthMetres, widthMetres, heightMetres, new SpeedOfSound(metresPerSecond));

    private double FrequencyOfOrder(int nx, int ny, int nz)
    {
        var (x, y, z) = (nx / LengthMetres, ny / WidthMetres, nz / HeightMetres);
        return SpeedOfSoundMetresPerSecond / 2 * Math.Sqrt(x * x + y * y + z * z);
    }

    private static double Above(double value, string name) =>
        value > 0 && double.IsFinite(value) ? value : throw new ArgumentOutOfRangeException(name, value, "Must be in (0, ∞).");

    private readonly record struct SpeedOfSound(double MetresPerSecond);
}
