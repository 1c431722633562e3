// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Stimuli;
using Sweepbook.Transforms;

namespace Sweepbook.Studies;

/// <summary>One octave of a sweep, as a search through a recording sees it.</summary>
/// <param name="FromHz">Lower end in hertz.</param>
/// <param name="ToHz">Upper end in hertz.</param>
/// <param name="Seconds">How long the sweep stays in it.</param>
/// <param name="FirstBin">First bin of the block's transform.</param>
/// <param name="BinCount">Number of bins.</param>
/// <param name="Points">Length of the inverse transform, a whole multiple of the frames of a block.</param>
/// <param name="Frames">Frames of a block.</param>
internal sealed record SweepOctave(double FromHz, double ToHz, double Seconds, int FirstBin, int BinCount, int Points, int Frames)
{
    private const double EdgeRatio = 0.2;            // of the octave's bins, on either side, rise and fall as a half cosine
    private const double ShortestRatio = 1.4;        // what is left above the last whole octave counts for itself from half an octave on
    private const double HighestPerRate = 0.45;
    private const double Scale = 1e6;                // keeps the last bit of a 32-bit recording within the range of float

    /// <summary>The octaves of a sweep, from its first frequency up.</summary>
    internal static List<SweepOctave> Of(StimulusDescription design, int length, int frames)
    {
        var (octaves, law, binHz) = (new List<SweepOctave>(), design.Law, (double)design.SampleRateHz / length);
        var highest = Math.Min(design.EndHz, HighestPerRate * design.SampleRateHz);
        for (var from = design.StartHz; octaves.Count == 0 || highest / from >= ShortestRatio;)
        {
            var to = highest / from < 2 * ShortestRatio ? highest : 2 * from;
            var (first, last) = ((int)Math.Ceiling(from / binHz), (int)Math.Floor(to / binHz));
            var points = frames;
            while (points < last - first + 1) points *= 2;
            octaves.Add(new(from, to, law.SecondsAtHz(to) - law.SecondsAtHz(from), first, Math.Max(1, last - first + 1), points, frames));
            from = to;
            if (to >= highest) break;
        }
        return octaves;
    }

    /// <summary>Mean power of the correlation with this octave of the sweep, one value per frame.</summary>
    /// <param name="bins">The block's transform.</param>
    /// <param name="sweep">The sweep's.</param>
    /// <param name="skipped">Frames at the beginning of the block that are left out.</param>
    /// <param name="power">Receives the values of the frames after those.</param>
    /// <param name="scratch">As long as the block, may be overwritten.</param>
    internal void Power(ReadOnlySpan<Complex> bins, ReadOnlySpan<Complex> sweep, int skipped, Span<float> power, Complex[] scratch)
    {
        var values = scratch.AsSpan(0, Points);
        values.Clear();
        var edge = EdgeRatio * BinCount;
        for (var k = 0; k < BinCount; k++)
        {
            var near = Math.Min(k + 0.5, BinCount - k - 0.5);
            var weight = near >= edge ? 1 : 0.5 * (1 - Math.Cos(Math.PI * near / edge));
            values[k] = weight * bins[FirstBin + k] * Complex.Conjugate(sweep[FirstBin + k]);
        }
        FourierTransform.Inverse(values, values);
        var each = Points / Frames;
        for (var j = 0; j < power.Length; j++)
        {
            var sum = 0.0;
            foreach (var value in values.Slice((skipped + j) * each, each)) sum += value.Real * value.Real + value.Imaginary * value.Imaginary;
            power[j] = (float)(sum / each * Scale);
        }
    }
}
