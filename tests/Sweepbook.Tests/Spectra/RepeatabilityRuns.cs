// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Transforms;

namespace Sweepbook.Tests.Spectra;

/// <summary>
/// Surveys without recordings: one invented room response, and repeats of it with noise of their own, cut by the window that the analysis uses. The
/// truth is the level of the response without noise, found in the same way.
/// </summary>
internal sealed class RepeatabilityRuns
{
    internal const int MostRepeats = 8;
    private const int Rate = 24_000, Left = 1_500, Right = 6_000, Silence = 12_000, Length = 7_500;
    private const double SignalOverNoiseDb = 30;
    private const double CensoredBelowDb = 15;
    private const int Thinning = 8;   // every eighth point of the grid is judged: its neighbours say nearly the same
    private static readonly double[] s_window = [.. Window.RisingHalfHann(Left), .. Enumerable.Repeat(1.0, Right - Right / 4), .. Window.FallingHalfHann(Right / 4)];
    private readonly double[] _response = Room(), _singleHz, _truthDb;
    private readonly double _noise;
    private readonly double[] _cellPower;

    internal RepeatabilityRuns()
    {
        Judged = [.. Enumerable.Range(0, Grid.Count).Where(k => k % Thinning == 0)];
        _singleHz = [.. Judged.Where(k => Resolution.IsSingleValue(Grid, k, (double)Rate / Length)).Select(k => Grid[k])];
        var spectrum = FourierTransform.OfReal(_response, Length);
        _cellPower = CellPower(spectrum, Values(_response));
        _truthDb = [.. _cellPower.Select(Decibels.FromPower)];
        var energy = s_window.Sum(weight => weight * weight);
        Plain = new(energy / Rate, (double)Rate / Length);
        var median = Smoothing.PowerMean(Powers(spectrum), Plain.BinWidthHz, Grid.ToArray(), 1 / 3.0).Order().ElementAt(Grid.Count / 2);
        _noise = Math.Sqrt(median * Decibels.ToPowerRatio(-SignalOverNoiseDb) / energy);
    }

    internal static LogGrid Grid { get; } = LogGrid.Between(96, 20, 10_000);

    internal int[] Judged { get; }

    internal Resolution Plain { get; }

    /// <summary>One survey: its repeats as spectra, and as values where the level is that of a single value.</summary>
    internal (Complex[][] Spectra, Complex[][] Values) Repeats(ulong seed, double driftDb, int repeats = MostRepeats)
    {
        var drift = Signals.Noise(repeats, Seed(seed, 99));
        var samples = Enumerable.Range(0, repeats).Select(n => Repeat(Seed(seed, n), Decibels.ToAmplitudeRatio(driftDb * drift[n]))).ToArray();
        return ([.. samples.Select(repeat => FourierTransform.OfReal(repeat, Length))], [.. samples.Select(Values)]);
    }

    /// <summary>The noise power that a silent block of half a second shows, per grid point.</summary>
    internal double[] NoisePower(ulong seed)
    {
        var (taper, noise) = (Window.Hann(Silence), Signals.Noise(Silence, Seed(seed, 98)));
        for (var n = 0; n < Silence; n++) noise[n] *= _noise * taper[n];
        var power = Smoothing.PowerMean(Powers(FourierTransform.OfReal(noise, Silence)), (double)Rate / Silence, Grid.ToArray(), 1 / 3.0);
        var scale = Plain.WindowSeconds * Rate / taper.Sum(weight => weight * weight);
        return [.. power.Select(value => value * scale)];
    }

    internal static double SilenceSeconds => (double)Silence / Rate;

    /// <summary>Level power at every grid point; exact where it is judged.</summary>
    internal double[] CellPower(Complex[] spectrum, Complex[] values)
    {
        var binWidthHz = (double)Rate / Length;
        var cells = Smoothing.PowerMean(Powers(spectrum), binWidthHz, Grid.ToArray(), 1.0 / Grid.PointsPerOctave);
        for (var n = 0; n < values.Length; n++)
            cells[Judged[n]] = values[n].Magnitude * values[n].Magnitude;
        return cells;
    }

    /// <summary>Whether the interval holds the truth at a judged grid point; null where the analysis would censor it.</summary>
    internal bool? Holds(int k, int repeats, double[] cellPower, double halfWidthDb)
    {
        var noise = _noise * _noise * Plain.WindowSeconds * Rate / repeats;
        if (_cellPower[k] < noise * Decibels.ToPowerRatio(CensoredBelowDb)) return null;
        return Math.Abs(Decibels.FromPower(cellPower[k]) - _truthDb[k]) <= halfWidthDb;
    }

    internal static Complex[] Mean(IEnumerable<Complex[]> all)
    {
        var list = all.ToList();
        return [.. Enumerable.Range(0, list[0].Length).Select(k => list.Aggregate(Complex.Zero, (sum, one) => sum + one[k]) / list.Count)];
    }

    private static ulong Seed(ulong survey, int part) => (survey * 100 + (ulong)part) * 0x9E3779B1;   // far apart: neighbouring seeds share numbers

    private double[] Repeat(ulong seed, double gain)
    {
        var samples = Signals.Noise(Length, seed);
        for (var n = 0; n < Length; n++) samples[n] = gain * _response[n] + samples[n] * _noise * s_window[n];
        return samples;
    }

    private Complex[] Values(double[] samples) => DiscreteTimeTransform.At(samples, Left, Rate, _singleHz);

    private static double[] Powers(Complex[] bins) => [.. bins.Select(bin => bin.Magnitude * bin.Magnitude)];

    /// <summary>A direct sound and a decaying tail of 0.4 s: the spectrum has the dips and peaks of a room.</summary>
    private static double[] Room()
    {
        var tail = Signals.Noise(Length, 4711);
        var response = new double[Length];
        response[Left] = 1;
        for (var n = 60; Left + n < Length; n++) response[Left + n] = 0.03 * tail[n] * Math.Exp(-6.9 * n / (0.4 * Rate)) * s_window[Left + n];
        return response;
    }
}
