// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Spectra;

/// <summary>A complex transfer function on a logarithmic frequency grid, with its noise and its trusted masks.</summary>
/// <remarks>
/// Two things are kept per grid point because they answer two questions: the complex value at exactly that frequency (phase, sums) and
/// the mean power over the grid cell (level). Where the cell is narrower than what the time window resolves the two levels agree; at
/// high frequencies the value alone would be one draw from a random field, 5.6 dB of scatter (fact sheet 15.1).
/// Misleads where the masks are ignored: an untrusted bin holds noise or the window, not the room.
/// </remarks>
public sealed partial class Response
{
    private readonly LogGrid _grid;
    private readonly Complex[] _values;
    private readonly double[] _power, _noisePower;
    private readonly bool[] _censored;
    private LevelUncertainty[] _uncertainty = [];   // set once, in With; empty where nobody has judged it

    /// <summary>A response from its parts; all arrays are copied.</summary>
    /// <param name="grid">The frequencies.</param>
    /// <param name="values">Transfer function at each frequency, linear.</param>
    /// <param name="power">Mean squared magnitude over each grid cell, linear, zero or more.</param>
    /// <param name="noisePower">Expected noise power after the same processing, linear; NaN where unknown.</param>
    /// <param name="censored">True where the level is only an upper bound.</param>
    /// <param name="levelTrust">Mask for levels.</param>
    /// <param name="phaseTrust">Mask for phase and complex sums.</param>
    /// <param name="timeGroup">Group whose members share the time zero.</param>
    /// <param name="reference">What 0 dB means.</param>
    /// <exception cref="ArgumentException">A length differs from the grid's.</exception>
    public Response(
        LogGrid grid, ReadOnlySpan<Complex> values, ReadOnlySpan<double> power, ReadOnlySpan<double> noisePower,
        ReadOnlySpan<bool> censored, TrustMask levelTrust, TrustMask phaseTrust, TimeGroup timeGroup, LevelReference reference)
    {
        ArgumentNullException.ThrowIfNull(grid);
        ArgumentNullException.ThrowIfNull(levelTrust);
        ArgumentNullException.ThrowIfNull(phaseTrust);
        SameLength(values.Length, grid.Count, nameof(values));
        SameLength(power.Length, grid.Count, nameof(power));
        SameLength(noisePower.Length, grid.Count, nameof(noisePower));
        SameLength(censored.Length, grid.Count, nameof(censored));
        SameLength(levelTrust.Count, grid.Count, nameof(levelTrust));
        SameLength(phaseTrust.Count, grid.Count, nameof(phaseTrust));
        (_grid, _values, _power, _noisePower, _censored) = (grid, values.ToArray(), power.ToArray(), noisePower.ToArray(), censored.ToArray());
        (LevelTrust, PhaseTrust, TimeGroup, Reference) = (levelTrust, phaseTrust, timeGroup, reference);
    }

    /// <summary>Number of grid points.</summary>
    public int Count => _grid.Count;

    /// <summary>The frequencies.</summary>
    public LogGrid Grid => _grid;

    /// <summary>Everything known at grid point <paramref name="k"/>.</summary>
    public ResponsePoint this[int k] =>
        new(_grid[k], _values[k], _power[k], _noisePower[k], LevelTrust.ReasonAt(k), PhaseTrust.ReasonAt(k), _censored[k])
        {
            Uncertainty = _uncertainty.Length == 0 ? LevelUncertainty.Unknown : _uncertainty[k],
        };

    /// <summary>Where levels may be believed.</summary>
    public TrustMask LevelTrust { get; }

    /// <summary>Where phase and complex sums may be believed.</summary>
    public TrustMask PhaseTrust { get; }

    /// <summary>Group whose members share the time zero.</summary>
    public TimeGroup TimeGroup { get; }

    /// <summary>What 0 dB means.</summary>
    public LevelReference Reference { get; }

    /// <summary>Id of the microphone that heard it; null for a response made by hand or read from a text file.</summary>
    public string? Microphone { get; internal init; }

    /// <summary>True where the microphone's phase was taken out of the values, so that they are those of the sound and may meet another microphone's.</summary>
    public bool IsMicrophonePhaseOut => MicrophonePhaseHz is not null;

    /// <summary>Between which frequencies the phase that was taken out is known; null where none was.</summary>
    internal (double FromHz, double ToHz)? MicrophonePhaseHz { get; init; }

    /// <summary>What 0 dB means, in words for an axis or a table: "relative to the loopback", or "re 20 µPa" where the microphone's sensitivity is known.</summary>
    public string LevelReference => Reference == Spectra.LevelReference.SoundPressure ? "re 20 µPa" : $"relative to the {Reference.ToString().ToLowerInvariant()}";

    /// <summary>All points, in rising frequency.</summary>
    public IEnumerable<ResponsePoint> Points() => Enumerable.Range(0, Count).Select(k => this[k]);

    /// <summary>Levels of all grid points in decibels, a copy the caller owns.</summary>
    public double[] LevelsDb() => [.. _power.Select(Decibels.FromPower)];

    /// <summary>Levels smoothed on the logarithmic axis: the mean power of the grid cells within ± half of 1/<paramref name="fraction"/> octave.</summary>
    /// <param name="fraction">1 for a whole octave, 3 for a third, 12 for a twelfth; 1 or more.</param>
    /// <returns>Decibels, one per grid point; at the ends of the grid the mean runs over the cells that exist.</returns>
    /// <remarks>Smoothing hides narrow dips and peaks: look at the unsmoothed levels before blaming the room. Source: own definition of the mean.</remarks>
    public double[] SmoothedLevelsDb(int fraction)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(fraction, 1);
        var reach = _grid.PointsPerOctave / (2 * fraction);
        var levels = new double[Count];
        for (var k = 0; k < Count; k++)
        {
            var (first, last) = (Math.Max(0, k - reach), Math.Min(Count - 1, k + reach));
            var sum = 0.0;
            for (var n = first; n <= last; n++) sum += _power[n];
            levels[k] = Decibels.FromPower(sum / (last - first + 1));
        }
        return levels;
    }

    /// <summary>The same response, knowing how far its levels may be off; the array is taken over.</summary>
    internal Response With(LevelUncertainty[] uncertainty)
    {
        SameLength(uncertainty.Length, Count, nameof(uncertainty));
        return new(_grid, _values, _power, _noisePower, _censored, LevelTrust, PhaseTrust, TimeGroup, Reference) { _uncertainty = uncertainty, _timeMoments = _timeMoments, Microphone = Microphone, MicrophonePhaseHz = MicrophonePhaseHz };
    }

    private static void SameLength(int length, int expected, string name)
    {
        if (length != expected) throw new ArgumentException($"Has {length} entries; the grid has {expected}.", name);
    }
}
