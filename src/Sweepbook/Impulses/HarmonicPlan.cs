// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Stimuli;

namespace Sweepbook.Impulses;

/// <summary>What all takes of one stimulus share when their harmonics are read: the grid, the inverse spectra, and what a perfectly linear system would read.</summary>
/// <remarks>
/// Harmonic n of a sweep of phase 2πθ(t) is the sweep of phase 2πnθ(t). At the output frequency F it plays at the moment t at which the sweep plays F / n, and its
/// spectrum there is rate · A / 2 · (n · df/dt)^(−1/2) · e^{j2π(nθ(t) − Ft) − jπ/4} (stationary phase). For the exponential sweep this is fact sheet 5.7 taken up to n times its
/// end, one inverse serves all orders, and the harmonics come out L · ln n before the response; the "−1" of its phase turns harmonic n by −2π(n − 1) f₁L, which is
/// undone. For a linear sweep each order has its own inverse and comes out at the response's place, the others smeared to either side of it.
/// Source: A. Novak, P. Lotton, L. Simon, "Synchronized Swept-Sine", J. Audio Eng. Soc. 63 (2015) 786–798; for the linear sweep derived the same way.
/// </remarks>
internal sealed class HarmonicPlan
{
    internal const int Lowest = 2, Highest = 5;
    internal const int PointsPerOctave = 12;
    internal const double HighestRateRatio = 0.45;     // design, "What may be believed": upper end
    private const double EndOctaves = 1 / 12.0;        // and what is lost at the sweep's own end
    private const double LeastPeriods = 2;             // in a window, as for the linear response
    private const double LeastEdgePeriods = 1.5;       // of the distance to the first frequency played, in the window's rise: costs less than 0.1 dB (tested)
    private const double TaperOctaves = 1 / 6.0;
    private readonly Complex[][] _inverse;
    private readonly Lazy<double[][]> _leak;

    internal HarmonicPlan(Stimulus stimulus, int length)
    {
        var design = stimulus.Description;
        (Stimulus, Length, Law) = (stimulus, length, design.Law);
        FromHz = Law.FrequencyHzAt(design.FadeInSeconds);
        var toHz = Math.Min(Law.FrequencyHzAt(Law.Seconds - design.FadeOutSeconds), Math.Min(design.EndHz * Math.Pow(2, -EndOctaves), HighestOutputHz / Lowest));
        Grid = LogGrid.Between(PointsPerOctave, FromHz, Math.Max(FromHz, toHz));
        _inverse = [.. Enumerable.Range(Lowest, Highest - Lowest + 1).Take(IsLinear ? Highest : 1).Select(order => InverseOf(IsLinear ? order : 1))];
        _leak = new(() => HarmonicReading.PowersOf(this, Stimulus.Samples, 0).Select(order => order.Power).ToArray());
    }

    internal Stimulus Stimulus { get; }

    /// <summary>Transform length.</summary>
    internal int Length { get; }

    internal SweepLaw Law { get; }

    internal bool IsLinear => Law.Kind == SweepKind.Linear;

    /// <summary>First frequency at full level.</summary>
    internal double FromHz { get; }

    /// <summary>Fundamentals at which the sweep has its full level.</summary>
    internal LogGrid Grid { get; }

    internal double BinWidthHz => (double)Stimulus.SampleRateHz / Length;

    internal double HighestOutputHz => HighestRateRatio * Stimulus.SampleRateHz;

    /// <summary>Number of grid points whose harmonic lies below the upper end.</summary>
    internal int CountOf(int order)
    {
        var count = Grid.Count;
        while (count > 0 && order * Grid[count - 1] > HighestOutputHz) count--;
        return count;
    }

    /// <summary>Band weight over the analytic spectrum of harmonic <paramref name="order"/>; bins from 0 Hz to half the rate.</summary>
    internal ReadOnlySpan<Complex> Inverse(int order) => _inverse[IsLinear ? order - Lowest : 0];

    /// <summary>Where the pulse of the harmonic comes out, in seconds before the response.</summary>
    internal double LeadSeconds(int order) => IsLinear ? 0 : Law.LeadSecondsOf(order);

    /// <summary>What undoes the turn of the pulse's phase.</summary>
    internal Complex Turn(int order) => IsLinear ? 1 : Complex.FromPolarCoordinates(1, 2 * Math.PI * Math.IEEERemainder((order - 1) * Law.StartHz * Law.OctaveConstantSeconds, 1));

    /// <summary>Power that a linear system of gain one reads as this harmonic, per grid point: what separation cannot do.</summary>
    internal double[] LeakPower(int order) => _leak.Value[order - Lowest];

    /// <summary>Grid points that share a window: all of them, or in a linear sweep a third of an octave.</summary>
    internal IEnumerable<(int First, int Count, HarmonicWindow Window)> Stretches(int order)
    {
        var (count, step) = (CountOf(order), IsLinear ? PointsPerOctave / 3 : Grid.Count);
        for (var first = 0; first < count; first += step)
            yield return (first, Math.Min(step, count - first), HarmonicWindow.Of(order, Grid[first], Law));
    }

    /// <summary>Why a harmonic cannot be given at a fundamental whatever the recording, or null.</summary>
    internal string? WhyNot(int order, double fundamentalHz, HarmonicWindow window) =>
        order * fundamentalHz * window.Seconds < LeastPeriods || order * (fundamentalHz - FromHz) * window.BeforeSeconds < LeastEdgePeriods
            ? FormattableString.Invariant($"separation: the sweep leaves {1000 * window.Seconds:0} ms between the harmonics here, too little so close to its start; a longer sweep leaves more")
            : null;

    private Complex[] InverseOf(int order)
    {
        var inverse = new Complex[Length / 2 + 1];
        var (rate, amplitude) = (Stimulus.SampleRateHz, Decibels.ToAmplitudeRatio(Stimulus.Description.LevelDbfs));
        var (fromHz, toHz) = (order * Law.StartHz, Math.Min(HighestOutputHz, Highest * Law.EndHz * Math.Pow(2, TaperOctaves)));
        for (var k = 1; k < inverse.Length; k++)
        {
            var outputHz = k * BinWidthHz;
            var weight = Taper(Math.Log2(fromHz / outputHz)) * Taper(Math.Log2(outputHz / toHz) / TaperOctaves);
            if (weight == 0 || 2 * outputHz >= rate) continue;
            var atHz = outputHz / order;
            var seconds = IsLinear ? (atHz - Law.StartHz) / Law.HzPerSecondAt(atHz) : Law.OctaveConstantSeconds * Math.Log(atHz / Law.StartHz);
            var magnitude = rate * amplitude / 2 / Math.Sqrt(order * Law.HzPerSecondAt(atHz));
            var turns = order * Law.PhaseCyclesAt(seconds) - outputHz * (seconds + (double)Stimulus.SweepStart / rate) - 1 / 8.0;
            inverse[k] = Complex.FromPolarCoordinates(weight / magnitude, -2 * Math.PI * Math.IEEERemainder(turns, 1));
        }
        return inverse;
    }

    private static double Taper(double part) => part <= 0 ? 1 : part >= 1 ? 0 : 0.5 + 0.5 * Math.Cos(Math.PI * part);
}
