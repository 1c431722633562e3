// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Transforms;

namespace Sweepbook.Studies;

/// <summary>Power of the microphone channel in octave bands over short frames, and which of them the sweep and its harmonics leave alone.</summary>
/// <remarks>
/// A sweep that has passed a band leaves it to the room, whose late sound falls and never rises; a sweep that is far below a band has not reached it, nor
/// have harmonics that matter. What rises there, or is there all the time, is noise, or something that happened. Source: derived.
/// </remarks>
internal sealed class ClearBands
{
    internal const int BandCount = 7;                 // octaves round 125 Hz … 8 kHz
    private const double FirstCentreHz = 125;         // below, a frame holds too few periods to be judged
    private const double FrameSeconds = 0.043;
    private const double ClearBelowRatio = 1.6;       // the sweep is that far above a band's upper edge: the sidelobes of the frame's window have faded
    private const double ClearAboveRatio = 24;        // harmonics of audible strength end far below this multiple of the sweep
    private readonly double[][] _power;               // per frame and band, mean square

    internal ClearBands(TakeEvidence evidence)
    {
        var rate = evidence.SampleRateHz;
        FrameSamples = 1 << Math.Max(6, (int)Math.Round(Math.Log2(FrameSeconds * rate)));
        HopSamples = FrameSamples / 2;
        var samples = evidence.Reading.Microphone;
        var count = Math.Max(0, (samples.Length - FrameSamples) / HopSamples + 1);
        (_power, Place) = (new double[count][], new BandPlace[count][]);
        Bands = Enumerable.Range(0, BandCount).Count(band => UpperHz(band) < 0.45 * rate);
        var (window, frame, bins) = (Window.HannPeriodic(FrameSamples), new double[FrameSamples], new Complex[FrameSamples / 2 + 1]);
        var energy = window.Sum(weight => weight * weight);
        var late = evidence.SoundSamples;
        var (sweepFirst, sweepEnd) = (evidence.Stimulus.SweepStart + late, evidence.Stimulus.SweepEnd + late);
        for (var k = 0; k < count; k++)
        {
            var first = k * HopSamples;
            for (var n = 0; n < FrameSamples; n++) frame[n] = samples[first + n] * window[n];
            FourierTransform.OfReal(frame, FrameSamples, bins);
            (_power[k], Place[k]) = (new double[Bands], new BandPlace[Bands]);
            var isBefore = first + FrameSamples < sweepFirst - FrameSamples;
            var isMarked = evidence.Markers.SoundsIn(first, first + FrameSamples);
            if (isBefore) SilentFrames = k + 1;
            if (first < sweepEnd && FirstSweepFrame < 0 && !isBefore && first >= sweepFirst) FirstSweepFrame = k;
            if (first + FrameSamples <= sweepEnd) LastSweepFrame = k;
            var (lowHz, highHz) = (evidence.FrequencyAt(first, late), evidence.FrequencyAt(first + FrameSamples, late));
            for (var band = 0; band < Bands; band++)
            {
                var (from, to) = ((int)Math.Ceiling(LowerHz(band) * FrameSamples / rate), (int)(UpperHz(band) * FrameSamples / rate));
                var sum = 0.0;
                for (var bin = from; bin <= to; bin++) sum += bins[bin].Real * bins[bin].Real + bins[bin].Imaginary * bins[bin].Imaginary;
                _power[k][band] = 2 * sum / (energy * FrameSamples);
                Place[k][band] = isMarked ? BandPlace.Taken
                    : isBefore ? BandPlace.Silent
                    : first < sweepFirst ? BandPlace.Taken
                    : UpperHz(band) * ClearBelowRatio < lowHz ? BandPlace.Passed
                    : LowerHz(band) > ClearAboveRatio * highHz ? BandPlace.Ahead : BandPlace.Taken;
            }
        }
    }

    internal int FrameSamples { get; }

    internal int HopSamples { get; }

    internal int Bands { get; }

    internal int Frames => _power.Length;

    /// <summary>Frames before the sweep reaches the microphone.</summary>
    internal int SilentFrames { get; }

    internal int FirstSweepFrame { get; } = -1;

    internal int LastSweepFrame { get; } = -1;

    /// <summary>Per frame and band: where the sweep is, seen from the band.</summary>
    internal BandPlace[][] Place { get; }

    /// <summary>Mean square of the channel in a band of a frame.</summary>
    internal double PowerAt(int frame, int band) => _power[frame][band];

    internal static double LowerHz(int band) => FirstCentreHz * Math.Pow(2, band - 0.5);

    internal static double UpperHz(int band) => FirstCentreHz * Math.Pow(2, band + 0.5);

    /// <summary>Median of the band over those frames that are at one of two places, or NaN where there are fewer than <paramref name="fewest"/>.</summary>
    internal double Median(int band, int firstFrame, int endFrame, int fewest, BandPlace place, BandPlace orPlace)
    {
        var values = new List<double>();
        for (var k = Math.Max(0, firstFrame); k < Math.Min(Frames, endFrame); k++)
            if (Place[k][band] == place || Place[k][band] == orPlace) values.Add(_power[k][band]);
        if (values.Count < fewest) return double.NaN;
        values.Sort();
        return values[values.Count / 2];
    }
}

/// <summary>Where the sweep is, seen from a band.</summary>
internal enum BandPlace
{
    /// <summary>The sweep or its harmonics may be in the band, or a marker.</summary>
    Taken,

    /// <summary>The sweep has not begun.</summary>
    Silent,

    /// <summary>The sweep has passed; the room's late sound may still be there.</summary>
    Passed,

    /// <summary>The sweep is far below, and so are its harmonics.</summary>
    Ahead,
}
