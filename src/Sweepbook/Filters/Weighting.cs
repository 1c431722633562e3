// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Filters;

/// <summary>The frequency weightings A, C and Z of sound level meters.</summary>
/// <remarks>
/// Source: IEC 61672-1:2013, Annex E (pole frequencies; the formula of the design goal). The poles are those of fact sheet 2;
/// rounded at the exact base-ten frequency, the formula gives every printed value of that standard's Table 3.
/// </remarks>
public sealed class Weighting
{
    private const double LowestPoleHz = 20.598997, SecondPoleHz = 107.65265, ThirdPoleHz = 737.86223, HighestPoleHz = 12194.217;

    private readonly Func<double, double> _powerRatio;
    private readonly double _referenceRatio;

    private Weighting(string name, Func<double, double> powerRatio) =>
        (Name, _powerRatio, _referenceRatio) = (name, powerRatio, powerRatio(1000));

    /// <summary>A: follows hearing at low levels; the usual one for noise.</summary>
    public static Weighting A { get; } = new("A", frequencyHz => Ends(frequencyHz) * HighPass(frequencyHz, SecondPoleHz) * HighPass(frequencyHz, ThirdPoleHz));

    /// <summary>C: nearly flat, 3 dB down near 31.5 Hz and 8 kHz; used for level checks of loudspeakers.</summary>
    public static Weighting C { get; } = new("C", Ends);

    /// <summary>Z: no weighting, 0 dB everywhere.</summary>
    public static Weighting Z { get; } = new("Z", _ => 1);

    /// <summary>"A", "C" or "Z".</summary>
    public string Name { get; }

    /// <summary>What the weighting adds at one frequency, 0 dB at 1 kHz.</summary>
    /// <param name="frequencyHz">Frequency in hertz, in [0, ∞).</param>
    /// <returns>Decibels; −∞ at 0 Hz for A and C.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Negative, infinite or NaN.</exception>
    /// <remarks>
    /// The printed tables belong to the exact frequencies of the bands: at the nominal 16 Hz this gives −56.42 dB, the table's −56.7 dB
    /// stands for 15.849 Hz. Source: IEC 61672-1:2013, Annex E.
    /// </remarks>
    public double LevelDb(double frequencyHz) => frequencyHz >= 0 && double.IsFinite(frequencyHz)
        ? Decibels.FromPower(_powerRatio(frequencyHz) / _referenceRatio)
        : throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, "Must be in [0, ∞) Hz.");

    /// <inheritdoc/>
    public override string ToString() => Name;

    private static double Ends(double frequencyHz)
    {
        var ends = HighPass(frequencyHz, LowestPoleHz) / (1 + Square(frequencyHz / HighestPoleHz));
        return ends * ends;
    }

    private static double HighPass(double frequencyHz, double poleHz) => Square(frequencyHz) / (Square(frequencyHz) + Square(poleHz));

    private static double Square(double value) => value * value;
}
