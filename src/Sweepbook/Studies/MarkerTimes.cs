// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Stimuli;

namespace Sweepbook.Studies;

/// <summary>When the timing markers sound in a recording, and where it is silent beside them.</summary>
/// <remarks>
/// The sweep's sound says how late the recording is; the marker's loudspeaker stands elsewhere and its processor may delay otherwise, so each marker gets some
/// room on either side, and time to decay behind it. Own choice of times; it needs no source.
/// </remarks>
internal sealed class MarkerTimes
{
    private const double BesideSeconds = 0.05;           // loudspeakers 10 m apart, and a processor's delay
    private const double DecaySeconds = 0.4;             // what is left of a marker above 2 kHz after 0.45 s lies 60 dB down in an ordinary room
    private const double GuardSeconds = 0.01;            // kept free before the sweep
    private const double FadeSeconds = 0.005;
    private readonly List<(int First, int End)> _sounding = [];
    private readonly int _sweepFirst, _afterSweep, _rate;

    /// <param name="stimulus">What was played, with a marker or without.</param>
    /// <param name="soundSeconds">How late the sweep's sound is in the recording.</param>
    internal MarkerTimes(Stimulus stimulus, double soundSeconds)
    {
        _rate = stimulus.SampleRateHz;
        _sweepFirst = stimulus.SweepStart + (int)((Math.Min(0, soundSeconds) - GuardSeconds) * _rate);
        _afterSweep = stimulus.SweepEnd + (int)(soundSeconds * _rate);
        if (stimulus.Description.Marker is not { } marker) return;
        // A sweep that is later than the file says is still silent until its sound comes; without a marker that is left unused.
        _sweepFirst = stimulus.SweepStart + (int)((soundSeconds - BesideSeconds) * _rate);
        Add(marker.StartSeconds);
        if (marker.RepeatStartSeconds is { } again) Add(again);

        void Add(double startSeconds) => _sounding.Add((
            (int)((startSeconds + soundSeconds - BesideSeconds) * _rate),
            (int)((startSeconds + marker.LengthSeconds + soundSeconds + BesideSeconds + DecaySeconds) * _rate)));
    }

    /// <summary>The markers of a recording whose timing is known from them, or else from where the sweep is found.</summary>
    /// <remarks>Found by correlation and not by division: where a subwoofer plays a full-range sweep, the division makes more of the marker than of the sweep.</remarks>
    internal static MarkerTimes In(Stimulus stimulus, TakeReading reading, TakeTiming timing) => new(stimulus,
        !stimulus.HasMarker ? 0
        : double.IsFinite(timing.UncertaintySeconds) ? timing.LateSeconds
        : MarkerTiming.LateSamples(stimulus, reading.Microphone) / (double)stimulus.SampleRateHz ?? 0);

    /// <summary>First sample after the sweep at which another sound begins; the end of the recording where none does.</summary>
    internal int EndOfTail(int length)
    {
        foreach (var (first, _) in _sounding)
            if (first >= _afterSweep) return Math.Min(first, length);
        return length;
    }

    /// <summary>True where a marker sounds, or still decays, in a stretch of samples.</summary>
    internal bool SoundsIn(int first, int end)
    {
        foreach (var sounding in _sounding)
            if (sounding.First < end && first < sounding.End) return true;
        return false;
    }

    /// <summary>The longest stretch before the sweep in which nothing sounds; behind the last marker where there is none before.</summary>
    /// <param name="length">Length of the recording.</param>
    /// <param name="shortest">Shorter ones do not count.</param>
    /// <returns>First sample and length, both zero where there is none.</returns>
    internal (int First, int Length) Silence(int length, int shortest)
    {
        var (best, at) = ((First: 0, Length: 0), 0);
        foreach (var (first, end) in _sounding)
        {
            Offer(at, Math.Min(first, _sweepFirst));
            at = Math.Max(at, end);
            if (at >= _sweepFirst) break;
        }
        Offer(at, _sweepFirst);
        if (best.Length == 0 && _sounding.Count > 1) Offer(_sounding[^1].End, length);
        return best;

        void Offer(int first, int end)
        {
            (first, end) = (Math.Max(first, 0), Math.Min(end, length));
            if (end - first >= shortest && end - first > best.Length) best = (first, end - first);
        }
    }

    /// <summary>The microphone channel with its markers faded out, and whatever comes after the last one: the sweep's response is not among it.</summary>
    internal TakeReading Muted(TakeReading reading)
    {
        if (_sounding.Count == 0) return reading;
        var muted = (double[])reading.Microphone.Clone();
        var fade = Math.Max(1, (int)(FadeSeconds * _rate));
        foreach (var (first, end) in _sounding)
        {
            var isAfter = first >= _afterSweep;
            var (from, to) = (Math.Clamp(first, 0, muted.Length), Math.Clamp(isAfter ? muted.Length : Math.Min(end, _sweepFirst), 0, muted.Length));
            if (to <= from) continue;
            for (var n = from; n < to; n++)
            {
                var within = Math.Min(n - from, to < muted.Length ? to - 1 - n : fade);
                muted[n] *= within < fade ? 0.5 + 0.5 * Math.Cos(Math.PI * (within + 0.5) / fade) : 0;
            }
        }
        return reading with { Microphone = muted };
    }
}
