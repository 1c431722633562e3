// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;

namespace Sweepbook.Nearfield;

/// <summary>A near-field sum joined to a gated free-field response: low frequencies from the one, high ones from the other, and an overlap in which they must agree. Or why not.</summary>
/// <remarks>
/// Levels only. The near field comes as the far field at the free microphone's distance, with the box's edges where its size is known. Over the overlap the two are compared:
/// the mean difference shifts the near field (the free field has distance and area right by itself, and says so in <see cref="LevelMismatchDb"/>), the difference of slopes
/// is left in. Over the middle half of the overlap the levels are mixed, by a raised cosine over octaves.
/// No joint is made where the overlap is shorter than a third of an octave, the levels differ by more than 3 dB or the slopes by more than 4 dB per octave (own choices):
/// then one of the two is not what it is taken for. Misleads where the free field is not free: a gate that lets a reflection in ripples on both sides of the joint.
/// Source: D. B. Keele, J. Audio Eng. Soc. 22 (1974), for the principle, from memory; the tests of the overlap are own definitions.
/// </remarks>
public sealed class FreeFieldSplice
{
    private const double LeastOctaves = 1 / 3.0;
    private const double MostLevelDb = 3;
    private const double MostSlopeDb = 4;
    private const int LeastPoints = 12;

    private FreeFieldSplice(TrustedBand overlap, double levelDb, double slopeDb, string? whyNot, ResponsePoint[] points, double[] levels, double[] nearShare)
    {
        (OverlapFromHz, OverlapToHz, LevelMismatchDb, SlopeMismatchDbPerOctave, WhyNot) = (overlap.FromHz, overlap.ToHz, levelDb, slopeDb, whyNot);
        (_points, _levels, _nearShare) = (points, levels, nearShare);
    }

    private readonly ResponsePoint[] _points;
    private readonly double[] _levels, _nearShare;

    /// <summary>Lower end of the overlap in hertz: where the gated response begins to be trusted; NaN where there is none.</summary>
    public double OverlapFromHz { get; }

    /// <summary>Upper end of the overlap in hertz: where the near field ends; NaN where there is none.</summary>
    public double OverlapToHz { get; }

    /// <summary>Width of the overlap in octaves; 0 where there is none.</summary>
    public double OverlapOctaves => OverlapFromHz < OverlapToHz ? Math.Log2(OverlapToHz / OverlapFromHz) : 0;

    /// <summary>Free field less near field, mean of the decibels over the overlap; NaN where there is none.</summary>
    public double LevelMismatchDb { get; }

    /// <summary>Slope of the free field less that of the near field over the overlap, in dB per octave; NaN where there is none.</summary>
    public double SlopeMismatchDbPerOctave { get; }

    /// <summary>Why the two are not joined, and what to do, in sentences; null where they are.</summary>
    public string? WhyNot { get; }

    /// <summary>True where the two are joined.</summary>
    public bool IsJoined => WhyNot is null;

    /// <summary>The joined curve: frequency in hertz, level in decibels, and the share that the near field has there (1 below the joint, 0 above).</summary>
    /// <returns>One entry per trusted grid point, rising; empty where the two are not joined.</returns>
    /// <remarks>See the type.</remarks>
    public IReadOnlyList<(double FrequencyHz, double LevelDb, double NearShare)> Points => [.. _points.Select((point, k) => (point.FrequencyHz, _levels[k], _nearShare[k]))];

    /// <summary>The lowest frequency that a gate resolves, at equal height between floor and ceiling: c / (√(h² + d²) − d).</summary>
    /// <param name="heightMetres">The room's smallest dimension h in metres, usually its height; loudspeaker and microphone stand in the middle.</param>
    /// <param name="distanceMetres">From loudspeaker to microphone, in metres, above zero.</param>
    /// <param name="speedOfSoundMetresPerSecond">Speed of sound, above zero.</param>
    /// <returns>Hertz; believe a gated response from about twice that.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An argument is not above zero.</exception>
    /// <remarks>Misleads where furniture or the microphone's stand reflects earlier. Source: geometry of the first reflection (fact sheet 7.7).</remarks>
    public static double GateResolvesHz(double heightMetres, double distanceMetres, double speedOfSoundMetresPerSecond)
    {
        foreach (var (value, name) in new[] { (heightMetres, nameof(heightMetres)), (distanceMetres, nameof(distanceMetres)), (speedOfSoundMetresPerSecond, nameof(speedOfSoundMetresPerSecond)) })
            if (!(value > 0 && double.IsFinite(value))) throw new ArgumentOutOfRangeException(name, value, "Must be in (0, ∞).");
        return speedOfSoundMetresPerSecond / (Math.Sqrt(heightMetres * heightMetres + distanceMetres * distanceMetres) - distanceMetres);
    }

    /// <summary>Joins the two; <paramref name="near"/> is doubted above its limit.</summary>
    internal static FreeFieldSplice Of(Response near, Response free)
    {
        var (low, high) = (near.LevelTrust.LongestBand(), free.LevelTrust.LongestBand());
        if (near.Grid.PointsPerOctave != free.Grid.PointsPerOctave)
            return None($"The near field has {near.Grid.PointsPerOctave} points per octave and the free field {free.Grid.PointsPerOctave}. Evaluate both on one grid.");
        if (near.Reference != free.Reference)
            return None($"The near field is {near.LevelReference}, the free field {free.LevelReference}, and the difference between the two is not known. Measure both in one way, with the loopback or without.");
        if (low.IsEmpty) return None($"No valid overlap: the near field may be believed nowhere ({low.LowReason.Sentence}).");
        if (high.IsEmpty) return None($"No valid overlap: the free field may be believed nowhere ({high.LowReason.Sentence}).");
        var overlap = new TrustedBand(Math.Max(low.FromHz, high.FromHz), Math.Min(low.ToHz, high.ToHz), high.LowReason, low.HighReason);
        var points = Common(near, free, overlap);
        const string Longer = "Raise loudspeaker and microphone, or move the microphone nearer, so that the first reflection comes later and the gate reaches lower";
        if (overlap.IsEmpty || points.Count < LeastPoints || Math.Log2(overlap.ToHz / overlap.FromHz) < LeastOctaves)
            return None(string.Create(CultureInfo.InvariantCulture,
                $"No valid overlap: the near field may be believed up to {low.ToHz:0} Hz ({low.HighReason.Sentence}) and the free field from {high.FromHz:0} Hz ({high.LowReason.Sentence}); a third of an octave in common is needed. {Longer}."));
        var differences = points.Select(pair => pair.Free.LevelDb - pair.Near.LevelDb).ToArray();
        var (level, slope) = (differences.Average(), TuningCheck.LineSlope([.. points.Select(pair => Math.Log2(pair.Near.FrequencyHz))], differences));
        var why = Math.Abs(level) > MostLevelDb
            ? string.Create(CultureInfo.InvariantCulture, $"Not joined: in the overlap ({overlap.Words}) the free field lies {level:+0.0;-0.0} dB from the near field, more than {MostLevelDb:0} dB. Check the cone's area, both distances, the drive and the input's gain.")
            : Math.Abs(slope) > MostSlopeDb
                ? string.Create(CultureInfo.InvariantCulture, $"Not joined: in the overlap ({overlap.Words}) the slopes differ by {slope:+0.0;-0.0} dB per octave, more than {MostSlopeDb:0}. A reflection inside the gate or a wrong size of the box does that. {Longer}, and check [[box]].")
                : null;
        return why is null ? Joined(near, free, overlap, level, slope) : new(overlap, level, slope, why, [], [], []);
    }

    /// <summary>No joint, and why.</summary>
    internal static FreeFieldSplice None(string why) => new(new(double.NaN, double.NaN, default, default), double.NaN, double.NaN, why, [], [], []);

    private static FreeFieldSplice Joined(Response near, Response free, TrustedBand overlap, double shiftDb, double slopeDb)
    {
        var octaves = Math.Log2(overlap.ToHz / overlap.FromHz);
        var (points, levels, shares) = (new List<ResponsePoint>(), new List<double>(), new List<double>());
        var nearAt = near.Points().ToDictionary(point => Index(point.FrequencyHz, near.Grid));
        foreach (var point in near.Points().TakeWhile(point => point.FrequencyHz < free.Grid[0])) Add(point, null);
        foreach (var point in free.Points()) Add(nearAt.TryGetValue(Index(point.FrequencyHz, near.Grid), out var other) ? other : null, point);
        return new(overlap, shiftDb, slopeDb, null, [.. points], [.. levels], [.. shares]);

        void Add(ResponsePoint? low, ResponsePoint? high)
        {
            var frequencyHz = (low ?? high)!.Value.FrequencyHz;
            var along = Math.Clamp((Math.Log2(frequencyHz / overlap.FromHz) / octaves - 0.25) / 0.5, 0, 1);
            var share = 0.5 + 0.5 * Math.Cos(Math.PI * along);
            if (share > 0 && low is not { TrustedLevel: true } || share < 1 && high is not { TrustedLevel: true }) return;
            points.Add((low ?? high)!.Value);
            levels.Add((share > 0 ? share * (low!.Value.LevelDb + shiftDb) : 0) + (share < 1 ? (1 - share) * high!.Value.LevelDb : 0));
            shares.Add(share);
        }
    }

    private static List<(ResponsePoint Near, ResponsePoint Free)> Common(Response near, Response free, TrustedBand band)
    {
        var freeAt = free.Points().Where(point => point.TrustedLevel).ToDictionary(point => Index(point.FrequencyHz, free.Grid));
        return [.. near.Points().Where(point => point.TrustedLevel && band.Contains(point.FrequencyHz) && freeAt.ContainsKey(Index(point.FrequencyHz, near.Grid)))
            .Select(point => (point, freeAt[Index(point.FrequencyHz, near.Grid)]))];
    }

    /// <summary>Every grid is anchored at 1 kHz: the same index is the same frequency.</summary>
    private static int Index(double frequencyHz, LogGrid grid) => (int)Math.Round(grid.PointsPerOctave * Math.Log2(frequencyHz / 1000));
}
