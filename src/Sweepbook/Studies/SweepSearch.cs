// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Stimuli;
using Sweepbook.Transforms;

namespace Sweepbook.Studies;

/// <summary>One place at which a sweep was heard in a long recording.</summary>
/// <param name="SweepStart">Frame at which the sweep begins, within a few milliseconds; negative where it began before the recording did.</param>
/// <param name="Octaves">In how many octaves it stands out.</param>
internal readonly record struct FoundSweep(long SweepStart, int Octaves);

/// <summary>What a search through a recording found.</summary>
/// <param name="Found">The sweeps in the order of time.</param>
/// <param name="NearestFrame">Where the best candidate began; of use where nothing was found.</param>
/// <param name="MissingDb">By how much the best candidate is too weak, in decibels of signal over other sound; 0 where something was found.</param>
internal sealed record SweepSearchResult(IReadOnlyList<FoundSweep> Found, long NearestFrame, double MissingDb);

/// <summary>Looks for a stimulus' sweep in a long recording whose clock is not the player's.</summary>
/// <remarks>
/// <para>The recording is correlated with the sweep, octave by octave, block after block. In each octave the power of the correlation is compared with its
/// mean around (over twice the time that the sweep spends in the octave). A sweep is where four neighbouring octaves, or three that stand out more, peak at the same moment.</para>
/// <para>Powers, not amplitudes, are added over octaves and over some milliseconds. So neither a room nor a clock that is off by a thousandth matters: that
/// clock moves the octaves against each other by a thousandth of the sweep's length. A bang, put through the same filters, comes out as a sweep turned round: its
/// octaves peak one after the other, never together. Talk fills each octave for longer than a sweep does.</para>
/// <para>Misleads where two plays of the same stimulus overlap: only the stronger is found. Source: derived; correlation with the signal itself after
/// G. L. Turin, "An introduction to matched filters", IRE Trans. Inform. Theory 6 (1960) 311–329.</para>
/// </remarks>
internal sealed class SweepSearch
{
    internal const double LargestClockErrorRatio = 1e-3;
    private const double WantedRatio = 8;          // one value of noise alone exceeds it with a chance of e⁻⁸, so that four octaves never do together
    private const int SureOctaves = 4;
    private const double WantedOfFewRatio = 12;    // and three octaves of noise never exceed this one together (a test: hours of noise)
    private const int FewOctaves = 3;              // what a subwoofer gives at the least: 20 to 160 Hz
    private const double LatePeriods = 1;          // a subwoofer's resonances delay the lowest frequencies by about that much
    private const int SlackFrames = 3;
    private const double ClosestRatio = 0.9;       // two plays begin at least that share of the sweep apart
    private const double LeastMeanSeconds = 0.5;   // the mean around runs over that much at the least, on either side
    private const double GuardPeriods = 5;         // the filter of the lowest octave rings that long at either end of a block
    private const double SilenceRatio = 1e-9;      // below that share of the mean of all there is nothing to be compared with
    private const double FramesPerSecond = 150;

    private readonly Stimulus _stimulus;
    private readonly List<SweepOctave> _octaves;
    private readonly int _sweepLength, _length, _hop, _guard;
    private readonly Complex[] _sweep;

    internal SweepSearch(Stimulus stimulus)
    {
        _stimulus = stimulus;
        _sweepLength = stimulus.SweepEnd - stimulus.SweepStart;
        _hop = 1;
        while (2 * _hop * FramesPerSecond <= stimulus.SampleRateHz) _hop *= 2;
        _length = _hop;
        _guard = (int)Math.Ceiling(GuardPeriods / stimulus.Description.StartHz * stimulus.SampleRateHz / _hop) * _hop;
        while (_length < Math.Max(2 * _sweepLength, 1 << 16) + 2 * _guard) _length *= 2;
        _sweep = FourierTransform.OfReal(stimulus.Samples[stimulus.SweepStart..stimulus.SweepEnd], _length);
        _octaves = SweepOctave.Of(stimulus.Description, _length, _length / _hop);
    }

    /// <summary>Finds every sweep.</summary>
    /// <param name="read">Reads samples from a frame on; zero outside of the recording.</param>
    /// <param name="recordingLength">Frames of the recording.</param>
    /// <param name="tell">Told the share that is done, 0 to 1; or null.</param>
    /// <param name="cancellation">Asked between blocks.</param>
    internal SweepSearchResult Find(ReadFrames read, long recordingLength, Action<double>? tell, CancellationToken cancellation)
    {
        var first = -(long)_sweepLength;   // a sweep may have begun before the recording did
        var (framesPerBlock, skipped) = ((_length - _sweepLength - 2 * _guard) / _hop, _guard / _hop);
        var count = (int)((recordingLength - first) / _hop) + 1;
        var power = _octaves.Select(_ => new float[count]).ToArray();
        var (samples, bins, scratch) = (new double[_length], new Complex[_length / 2 + 1], new Complex[_length]);
        for (var done = 0; done < count; done += framesPerBlock)
        {
            cancellation.ThrowIfCancellationRequested();
            read(first + (long)done * _hop - _guard, samples);
            FourierTransform.OfReal(samples, _length, bins);
            var wanted = Math.Min(framesPerBlock, count - done);
            for (var b = 0; b < _octaves.Count; b++) _octaves[b].Power(bins, _sweep, skipped, power[b].AsSpan(done, wanted), scratch);
            tell?.Invoke(Math.Min(1, (double)(done + wanted) / count));
        }
        return Judge(power, first, recordingLength);
    }

    private SweepSearchResult Judge(float[][] power, long first, long recordingLength)
    {
        var count = power[0].Length;
        var rate = (double)_stimulus.SampleRateHz / _hop;
        var clock = (int)Math.Ceiling(LargestClockErrorRatio * _sweepLength / _hop);
        var score = new double[count];
        var (run, few, best, here, elsewhere, weakest) = (new int[count], new int[count], new int[count], new int[count], new int[count], new double[count]);
        var near = (int)(ClosestRatio * _sweepLength / _hop);
        var wanted = Math.Min(FewOctaves, _octaves.Count);
        var last = Enumerable.Range(0, wanted).Select(_ => new float[count]).ToArray();
        for (var b = 0; b < _octaves.Count; b++)
        {
            var around = Math.Max(2 * _octaves[b].Seconds, LeastMeanSeconds);
            var late = (int)Math.Ceiling(LatePeriods / _octaves[b].FromHz * rate);
            OverMean(power[b], (int)(around * rate));
            var ratio = MovingMaximum(power[b], SlackFrames + clock, SlackFrames + clock + late);
            var about = MovingMaximum(power[b], near, near);
            for (var j = 0; j < count; j++)
            {
                score[j] += Math.Log2(Math.Max(1, ratio[j]));
                run[j] = ratio[j] >= WantedRatio ? run[j] + 1 : 0;
                few[j] = ratio[j] >= WantedOfFewRatio ? few[j] + 1 : 0;
                if (run[j] >= SureOctaves || few[j] >= wanted) best[j] = Math.Max(best[j], run[j]);
                if (ratio[j] >= WantedRatio) here[j]++;
                else if (about[j] >= WantedRatio) elsewhere[j]++;
            }
            last[b % wanted] = ratio;
            if (b + 1 < wanted) continue;
            for (var j = 0; j < count; j++) weakest[j] = Math.Max(weakest[j], last.Min(octave => octave[j]));
        }
        for (var j = 0; j < count; j++) if (here[j] < elsewhere[j]) best[j] = 0;   // the octaves of another sweep come one after the other
        var (inside, end) = (-first / _hop, (recordingLength - _sweepLength - first) / _hop);
        for (var j = 0; j < count; j++) if ((j < inside || j > end) && best[j] < SureOctaves) best[j] = 0;   // half a sweep has to be told the more clearly
        var found = Peaks(score, best, power, clock, first);
        var nearest = 0;
        for (var j = 1; j < count; j++) if (weakest[j] > weakest[nearest]) nearest = j;
        var missing = found.Count > 0 ? 0 : Decibels.FromPower((WantedOfFewRatio - 1) / Math.Max(weakest[nearest] - 1, 1e-3));
        return new(found, first + (long)nearest * _hop, Math.Max(0, missing));
    }

    /// <summary>The strongest moments, none within a sweep's length of a stronger one: harmonics come earlier than their sweep, by less than its length.</summary>
    private List<FoundSweep> Peaks(double[] score, int[] octaves, float[][] ratio, int clock, long first)
    {
        var apart = (int)(ClosestRatio * _sweepLength / _hop);
        var found = new List<(int Frame, int Octaves)>();
        foreach (var j in Enumerable.Range(0, score.Length).Where(j => octaves[j] > 0).OrderByDescending(j => score[j]).ThenBy(j => j))
            if (found.TrueForAll(other => Math.Abs(other.Frame - j) >= apart)) found.Add((j, octaves[j]));
        return [.. found.OrderBy(place => place.Frame).Select(place => new FoundSweep(first + (long)Sharpened(place.Frame, ratio, clock) * _hop, place.Octaves))];
    }

    /// <summary>The moment at which the highest octave that stands out peaks: it tells time best.</summary>
    private static int Sharpened(int frame, float[][] ratio, int clock)
    {
        var (from, to) = (Math.Max(0, frame - SlackFrames - clock), Math.Min(ratio[0].Length - 1, frame + 2 * SlackFrames + clock));
        for (var b = ratio.Length - 1; b >= 0; b--)
        {
            var peak = from;
            for (var j = from; j <= to; j++) if (ratio[b][j] > ratio[b][peak]) peak = j;
            if (ratio[b][peak] >= WantedRatio) return peak;
        }
        return frame;
    }

    /// <summary>Divides each value by the mean around it; silence stays 0.</summary>
    private static void OverMean(float[] power, int reach)
    {
        var sums = new double[power.Length + 1];
        for (var j = 0; j < power.Length; j++) sums[j + 1] = sums[j] + power[j];
        var silence = sums[^1] / power.Length * SilenceRatio;
        for (var j = 0; j < power.Length; j++)
        {
            var (from, to) = (Math.Max(0, j - reach), Math.Min(power.Length, j + reach + 1));
            var mean = (sums[to] - sums[from]) / (2 * reach + 1);   // outside of the recording there is silence
            power[j] = mean > silence ? (float)(power[j] / mean) : 0;
        }
    }

    /// <summary>The largest value from some frames before each to some after it.</summary>
    private static float[] MovingMaximum(float[] values, int before, int after)
    {
        var result = new float[values.Length];
        var queue = new LinkedList<int>();
        for (int j = 0, next = 0; j < values.Length; j++)
        {
            for (; next < values.Length && next <= j + after; next++)
            {
                while (queue.Last is { } tail && values[tail.Value] <= values[next]) queue.RemoveLast();
                queue.AddLast(next);
            }
            while (queue.First!.Value < j - before) queue.RemoveFirst();
            result[j] = values[queue.First.Value];
        }
        return result;
    }
}

/// <summary>Reads samples from a frame on; zero outside of the recording.</summary>
internal delegate void ReadFrames(long first, Span<double> samples);
