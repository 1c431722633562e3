// SPDX-License-Identifier: MIT
using Sweepbook.Stimuli;
using Sweepbook.Transforms;

namespace Sweepbook.Impulses;

/// <summary>What the timing markers of a recording tell: when the first one arrived, and by how much the recorder's clock is off.</summary>
/// <param name="IsUsable">True where the first marker gives a time zero.</param>
/// <param name="Sentence">What was found; where it is not usable, how many decibels are missing and what to do.</param>
/// <param name="ArrivalSeconds">How late the first marker's direct sound is in the recording, after the clock error was removed, compared with the stimulus; NaN where not usable.</param>
/// <param name="UncertaintySeconds">Standard deviation of that moment; NaN where not usable.</param>
/// <param name="SnrDb">How far the first marker's direct sound stands above the noise before it, in decibels, both divided by the marker.</param>
/// <param name="Clock">The clock error; where it is not known, its method says why.</param>
public readonly record struct MarkerTiming(bool IsUsable, string Sentence, double ArrivalSeconds, double UncertaintySeconds, double SnrDb, ClockReading Clock)
{
    private const double LargestPpm = 2000;
    private const double ReachSeconds = 0.25;          // marker and sweep come from two loudspeakers: paths, and the delays of their processors, differ by less
    private const double ReceivedSeconds = 0.06;       // of the room's sound, used to compare the two receptions
    private const double ShortestReceivedSeconds = 0.004;
    private const double LeadSeconds = 0.001;
    private const double SweepFoundRatio = 8;          // noise reaches five standard deviations in half a million samples, never eight
    private const double LikenessRatio = 0.5;          // below, the two receptions do not belong together
    private const double SweepHelpsFromPpm = 1;        // the sweep alone is never surer than several ppm: below, it would weigh less than a hundredth
    private const double LeastDeviationSamples = 1e-4; // rounding of the division and of 24-bit samples
    private const double UnknownClockPpm = 50;         // standard deviation of two ordinary clocks beside each other

    /// <summary>Finds the marker and its repeat in one channel.</summary>
    /// <param name="stimulus">What was played; it has a marker.</param>
    /// <param name="recording">The microphone channel as recorded, full scale ±1, its clock error still in it.</param>
    /// <returns>The timing as a value: a marker that is absent, too weak, masked or cut off does not throw.</returns>
    /// <exception cref="ArgumentException">The stimulus has no marker, or the recording is empty.</exception>
    /// <remarks>
    /// Each marker is looked for only where the sweep says that it must be, within a quarter of a second, so that neither the sweep nor the other marker is taken for it. The first
    /// arrival counts, not the loudest; overlapping reflections are told apart down to a few samples. The clock error comes from comparing the reception of the repeat with that
    /// of the first: the same room twice. The sweep refines it where the markers leave it uncertain by more than 1 ppm. Misleads where a direct sound is more than 12 dB weaker
    /// than a reflection, and where microphone, marker loudspeaker or a person beside them moved between the two. Source: derived; the least possible scatter after S. M. Kay,
    /// "Fundamentals of Statistical Signal Processing: Estimation Theory" (1993), example 3.13, from memory.
    /// </remarks>
    public static MarkerTiming Find(Stimulus stimulus, ReadOnlySpan<double> recording) => Find(stimulus, recording, ClockReading.Unknown(""));

    /// <summary>The same, with a clock error that is used where markers and sweep tell none.</summary>
    internal static MarkerTiming Find(Stimulus stimulus, ReadOnlySpan<double> recording, ClockReading stated)
    {
        ArgumentNullException.ThrowIfNull(stimulus);
        if (!stimulus.HasMarker) throw new ArgumentException("Has no marker; design it with one.", nameof(stimulus));
        if (recording.IsEmpty) throw new ArgumentException("Got 0 samples; must be 1 or more.", nameof(recording));
        double rate = stimulus.SampleRateHz;
        var (design, marker) = (stimulus.Description, stimulus.Description.Marker!);
        if (LateSamples(stimulus, recording) is not { } late) return Refused("the sweep was not found in this recording, so nobody knows where its marker should be; check that the take belongs to this stimulus", double.NaN);
        var filter = new MarkerFilter(stimulus);
        var reach = (int)(ReachSeconds * rate);
        var due = design.ToSamples(marker.StartSeconds) + late;
        if (due + reach < 0) return Refused(CutOff(-due / rate), double.NaN);
        var seen = MarkerSighting.Of(filter, recording, due - reach, 2 * reach);
        if (seen.Sample < 0 && seen.IsUsable) return Refused(CutOff(-seen.Sample / rate), seen.SnrDb);
        if (!seen.IsUsable) return Refused(due < 0 ? CutOff(-due / rate) : MarkerWords.TooWeak(seen), seen.SnrDb);

        var clock = ByRepeat(stimulus, filter, recording, seen);
        if (!(clock.UncertaintyPpm <= SweepHelpsFromPpm)) clock = clock.With(ClockReading.OnSweep(stimulus, recording));
        if (!clock.IsKnown && stated.IsKnown) clock = stated;
        var (first, width) = (seen.Sample - reach, filter.MarkerLength + 2 * reach);
        var (from, to) = (Math.Clamp(first, 0, recording.Length), Math.Clamp(first + width, 0, recording.Length));
        var fastRatio = clock.IsKnown ? clock.Ppm * 1e-6 : 0;
        var corrected = Resampling.ByPpm(recording[from..to], fastRatio * 1e6);
        var begin = from / (1 + fastRatio);   // where the first of these samples stands on the player's time axis
        var again = MarkerSighting.Of(filter, corrected, seen.Sample - from - reach / 2, reach);
        var values = filter.Of(corrected, again.Sample - reach / 4, reach / 2, isBroad: true).Select(value => value.Real).ToArray();
        var direct = FirstPath.Of(values, reach / 4, again.NoiseRms, filter);
        var arrival = (begin + again.Sample - reach / 4 + direct.Samples - design.ToSamples(marker.StartSeconds)) / rate;
        var drift = (clock.IsKnown ? clock.UncertaintyPpm : UnknownClockPpm) * 1e-6 * (stimulus.SweepEnd / rate - marker.StartSeconds);
        var fit = Math.Max(direct.DeviationSamples, LeastDeviationSamples) / rate;
        return new(true, MarkerWords.Found(seen.SnrDb, clock), arrival, Math.Sqrt(fit * fit + drift * drift), seen.SnrDb, clock);
    }

    /// <summary>Clock error from the distance between the two receptions.</summary>
    private static ClockReading ByRepeat(Stimulus stimulus, MarkerFilter filter, ReadOnlySpan<double> recording, MarkerSighting seen)
    {
        var (design, marker) = (stimulus.Description, stimulus.Description.Marker!);
        if (marker.RepeatStartSeconds is not { } again) return ClockReading.Unknown("the stimulus plays its marker only once");
        double rate = stimulus.SampleRateHz;
        var span = design.ToSamples(again) - design.ToSamples(marker.StartSeconds);
        var reach = (int)(LargestPpm * 1e-6 * span + QuietBefore * rate);
        var due = seen.Sample + span;
        if (due + filter.MarkerLength > recording.Length + reach) return ClockReading.Unknown(FormattableString.Invariant($"the recording ends {(due + filter.MarkerLength - recording.Length) / rate:0.0} s before the marker's repeat does"));
        var repeat = MarkerSighting.Of(filter, recording, due - reach, 2 * reach);
        if (!repeat.IsUsable) return ClockReading.Unknown(MarkerWords.RepeatTooWeak(repeat, seen));
        var (lead, longest) = ((int)(LeadSeconds * rate), (int)(ReceivedSeconds * rate));
        var one = Real(filter.Of(recording, seen.Sample - lead, longest, isBroad: true));
        var other = Real(filter.Of(recording, due - lead - reach, longest + 2 * reach, isBroad: true));
        var noise = Math.Max(seen.NoiseRms * seen.NoiseRms, repeat.NoiseRms * repeat.NoiseRms);
        var (length, cleanRatio) = ReceivedLag.BestLength(one, noise, ShortestReceivedSeconds * rate);
        var lag = ReceivedLag.Of(one.AsSpan(0, length), other.AsSpan(0, length + 2 * reach));
        if (lag.LikenessRatio < LikenessRatio * cleanRatio) return ClockReading.Unknown("the marker and its repeat came to the microphone in two different ways, as where something moved between them");
        return new(((lag.Samples - reach) / span) * 1e6, Math.Max(lag.DeviationSamples, LeastDeviationSamples) / span * 1e6, FormattableString.Invariant($"from the marker and its repeat, {span / rate:0.0} s apart"));
    }

    private const double QuietBefore = 0.05;           // before the repeat, to hear what masks it

    private static double[] Real(System.Numerics.Complex[] values) => [.. values.Select(value => value.Real)];

    /// <summary>How late the sweep is in the recording, roughly; null where it is not in it.</summary>
    internal static int? LateSamples(Stimulus stimulus, ReadOnlySpan<double> recording)
    {
        var correlation = Correlation.Of(recording, stimulus.Samples[stimulus.SweepStart..stimulus.SweepEnd]);
        var (energy, best) = (0.0, correlation.StrongestLag);
        for (var lag = correlation.FirstLag; lag <= correlation.LastLag; lag++) energy += correlation[lag] * correlation[lag];
        return Math.Abs(correlation[best]) >= SweepFoundRatio * Math.Sqrt(energy / (correlation.LastLag - correlation.FirstLag + 1)) && energy > 0 ? best - stimulus.SweepStart : null;
    }

    private static MarkerTiming Refused(string sentence, double snrDb) => new(false, sentence, double.NaN, double.NaN, snrDb, ClockReading.Unknown("no marker, no clock error"));

    private static string CutOff(double seconds) => FormattableString.Invariant($"the recording begins {seconds:0.00} s after the marker did; start the recorder first, then play the stimulus");
}
