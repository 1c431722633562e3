// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Transforms;

namespace Sweepbook.Decay;

/// <summary>How the level of every frequency goes on in time: slices of a response, each at its moment after the sound began.</summary>
/// <remarks>
/// Levels are those of the response (output over input), so the first slice of a cumulative map without a rise is the response itself. Only the frequencies asked
/// for are computed, at a rate of five to ten times the highest, which costs at most 0.001 dB and folds nothing above −100 dB into them. Moment 0 is the
/// first sample 20 dB below the largest of that signal (fact sheet 4.12).
/// No map is sharper than its window along either axis, however fine its grid: see <see cref="ResolutionAt"/>, and the figure draws it.
/// </remarks>
public sealed class DecayMap
{
    private const int LargestSlices = 4096;
    private const double LongestSeconds = 60;
    private const double HighestRatio = 0.45;
    private const double HannBandwidth = 1.5;        // noise bandwidth times length; F. J. Harris, Proc. IEEE 66 (1978), table I
    private const double GridPerBandwidth = 8;       // points of the grid in one bandwidth of a map of constant relative bandwidth
    private const double RisePart = 0.05;

    /// <summary>What a half-Hann rise of 1 s shows of a click, by the line that every decay gets.</summary>
    private static readonly double DecayOverRise = RiseDecay();

    private readonly double[] _frequenciesHz, _powers;
    private readonly MapWindow[] _windows;           // one for all frequencies, or one for each
    private readonly Lazy<double[]> _noise;

    private DecayMap(DecayMapKind kind, MapSignal signal, double[] frequenciesHz, double[] sliceSeconds, MapWindow[] windows, double[] powers, Func<MapWindow[], double[]> noise)
    {
        (Kind, StartSeconds, _frequenciesHz, _windows, _powers) = (kind, signal.StartSeconds, frequenciesHz, windows, powers);
        (FrequenciesHz, SliceSeconds) = (Array.AsReadOnly(frequenciesHz), Array.AsReadOnly(sliceSeconds));
        _noise = new(() => noise(windows));
    }

    /// <summary>What the slices look at.</summary>
    public DecayMapKind Kind { get; }

    /// <summary>The frequencies, rising, in hertz: equally far apart, or for constant relative bandwidth equally many to the octave.</summary>
    public IReadOnlyList<double> FrequenciesHz { get; }

    /// <summary>The slices' moments, in seconds after the sound began; to the nearest sample, so equally far apart within half a sample.</summary>
    public IReadOnlyList<double> SliceSeconds { get; }

    /// <summary>Where moment 0 lies on the response's own time axis, in seconds.</summary>
    public double StartSeconds { get; }

    /// <summary>Cumulative decay: the spectrum of what is still to come within a window, from each slice's moment on.</summary>
    /// <param name="response">The whole response, its quiet end included: noise is measured there.</param>
    /// <param name="fromHz">Lowest frequency in hertz, in (0, <paramref name="toHz"/>).</param>
    /// <param name="toHz">Highest frequency in hertz, up to 0.45 of the sample rate.</param>
    /// <param name="windowSeconds">Length T of the window, in (0, 60] s: it rises like half a Hann window up to the slice's moment, is flat, and falls over its last quarter.</param>
    /// <param name="overSeconds">Time from the first slice to the last, in (0, 60] s.</param>
    /// <param name="slices">Number of slices, in [2, 4096].</param>
    /// <param name="riseSeconds">Length of the rise, in [0, T/2] s; a twentieth of T unless given. Shorter blurs the slices with the edge's own spectrum, longer smears time.</param>
    /// <returns>The map. A lone resonance falls in it along a straight line in decibels, however long the window.</returns>
    /// <exception cref="ArgumentException">The response is empty or holds a sample that is not finite, or an argument is outside its interval.</exception>
    /// <remarks>
    /// The window moves as a whole and keeps its length, so every slice resolves alike; where its end stays put instead, late slices get coarser.
    /// A window that reaches past the end of the record meets silence there, and its slice is too low: let the record outlast the last slice by T.
    /// Resonances closer than 1/T beat and read too long or too short. Below 2/T the window decides as much as the room.
    /// Source: J. M. Berman, L. R. Fincham, "The Application of Digital Techniques to the Measurement of Loudspeakers", J. Audio Eng. Soc. 25 (1977) 370–384
    /// (from memory), with the end moved along.
    /// </remarks>
    public static DecayMap Cumulative(ImpulseResponse response, double fromHz, double toHz, double windowSeconds = 0.5, double overSeconds = 1, int slices = 200, double? riseSeconds = null)
    {
        Check(response, fromHz, toHz, overSeconds, slices);
        CheckSeconds(windowSeconds, nameof(windowSeconds));
        if (riseSeconds is { } rise && !(rise >= 0 && rise <= windowSeconds / 2))
            throw new ArgumentOutOfRangeException(nameof(riseSeconds), rise, FormattableString.Invariant($"Must be in [0, {windowSeconds / 2}] s, half the window."));
        var signal = MapSignal.Of(response, fromHz, toHz);
        return ByTransform(DecayMapKind.Cumulative, signal, MapWindow.OneSided(windowSeconds, riseSeconds ?? RisePart * windowSeconds, signal.RateHz), fromHz, toHz, overSeconds, slices);
    }

    /// <summary>Spectrogram: the spectrum of what lies under a Hann window that slides along, its middle at each slice's moment.</summary>
    /// <param name="response">The whole response, its quiet end included: noise is measured there.</param>
    /// <param name="fromHz">Lowest frequency in hertz, in (0, <paramref name="toHz"/>).</param>
    /// <param name="toHz">Highest frequency in hertz, up to 0.45 of the sample rate.</param>
    /// <param name="windowSeconds">Length T of the window, in (0, 60] s.</param>
    /// <param name="overSeconds">Time from the first slice to the last, in (0, 60] s.</param>
    /// <param name="slices">Number of slices, in [2, 4096].</param>
    /// <returns>The map; a click has the level of its own spectrum when the window's middle passes it.</returns>
    /// <exception cref="ArgumentException">The response is empty or holds a sample that is not finite, or an argument is outside its interval.</exception>
    /// <remarks>
    /// A long window merges events, a short one merges frequencies; nothing helps against both at once. What lies within T/2 after a moment shows in
    /// its slice already. Source: J. B. Allen, L. R. Rabiner, "A Unified Approach to Short-Time Fourier Analysis and Synthesis", Proc. IEEE 65 (1977) 1558–1564 (from memory).
    /// </remarks>
    public static DecayMap Spectrogram(ImpulseResponse response, double fromHz, double toHz, double windowSeconds = 0.25, double overSeconds = 1, int slices = 200)
    {
        Check(response, fromHz, toHz, overSeconds, slices);
        CheckSeconds(windowSeconds, nameof(windowSeconds));
        var signal = MapSignal.Of(response, fromHz, toHz);
        return ByTransform(DecayMapKind.Spectrogram, signal, MapWindow.Centred(windowSeconds, signal.RateHz), fromHz, toHz, overSeconds, slices);
    }

    /// <summary>Constant relative bandwidth: a Hann window of equally many periods at every frequency slides along, long in the bass and short above.</summary>
    /// <param name="response">The whole response, its quiet end included: noise is measured there.</param>
    /// <param name="fromHz">Lowest frequency in hertz, in (0, <paramref name="toHz"/>).</param>
    /// <param name="toHz">Highest frequency in hertz, up to 0.45 of the sample rate.</param>
    /// <param name="bandwidthOctaves">Noise bandwidth in octaves, in [1/48, 2]; a third octave is a window of 6.5 periods.</param>
    /// <param name="overSeconds">Time from the first slice to the last, in (0, 60] s.</param>
    /// <param name="slices">Number of slices, in [2, 4096].</param>
    /// <returns>The map, eight frequencies to a bandwidth; levels as in a spectrogram.</returns>
    /// <exception cref="ArgumentException">The response is empty or holds a sample that is not finite, or an argument is outside its interval.</exception>
    /// <remarks>
    /// Equal decays look longer in the bass, because the window is longer there: compare with what the window itself shows. Source: J. C. Brown, "Calculation of a
    /// constant Q spectral transform", J. Acoust. Soc. Am. 89 (1991) 425–434 (from memory): a window of Q periods at each frequency, here without her division by its length.
    /// </remarks>
    public static DecayMap ConstantRelative(ImpulseResponse response, double fromHz, double toHz, double bandwidthOctaves = 1 / 3.0, double overSeconds = 1, int slices = 200)
    {
        Check(response, fromHz, toHz, overSeconds, slices);
        if (!(bandwidthOctaves >= 1 / 48.0 && bandwidthOctaves <= 2))
            throw new ArgumentOutOfRangeException(nameof(bandwidthOctaves), bandwidthOctaves, "Must be in [1/48, 2] octaves.");
        var signal = MapSignal.Of(response, fromHz, toHz);
        var periods = HannBandwidth / (Math.Pow(2, bandwidthOctaves / 2) - Math.Pow(2, -bandwidthOctaves / 2));
        if (periods / fromHz > LongestSeconds)
            throw new ArgumentOutOfRangeException(nameof(fromHz), fromHz, FormattableString.Invariant($"Must be in [{periods / LongestSeconds:0.####}, {toHz}) Hz: a window of {periods:0.#} periods is {LongestSeconds} s long there."));
        var frequencies = LogGrid.Between((int)Math.Ceiling(GridPerBandwidth / bandwidthOctaves), fromHz, toHz).ToArray();
        if (frequencies.Length == 0) throw new ArgumentException(FormattableString.Invariant($"No frequency of the grid lies between {fromHz} and {toHz} Hz; give a wider range."), nameof(toHz));
        var windows = frequencies.Select(frequencyHz => MapWindow.Centred(periods / frequencyHz, signal.RateHz)).ToArray();
        var moments = Moments(signal, overSeconds, slices);
        return new(DecayMapKind.ConstantRelative, signal, frequencies, Seconds(signal, moments), windows, MapSlices.BySum(signal, windows, moments, frequencies), own =>
        {
            var mean = new double[frequencies.Length];
            for (var k = 0; k < mean.Length; k++)
            {
                var quiet = MapNoise.Moments(signal, own[k]);
                mean[k] = quiet.Length == 0 ? double.NaN : MapNoise.Mean(MapSlices.BySum(signal, [own[k]], quiet, [frequencies[k]]), 1)[0];
            }
            return MapNoise.Ceiling(mean, frequencies, k => own[k].NoiseBandwidthHz);
        });
    }

    /// <summary>The level of one frequency in one slice, in dB of the response; −∞ where there is nothing at all.</summary>
    /// <param name="slice">Number of the slice, from 0.</param>
    /// <param name="frequency">Number of the frequency, from 0.</param>
    public double LevelDb(int slice, int frequency) => Decibels.FromPower(_powers[slice * _frequenciesHz.Length + frequency]);

    /// <summary>The level that noise alone may reach in a slice at that frequency, in dB of the response; NaN where the record is too short to know.</summary>
    /// <param name="frequency">Number of the frequency, from 0.</param>
    /// <remarks>
    /// From the last tenth of the record or one window, whichever is longer: the mean power over an octave, or of the strongest frequency within one resolution where
    /// that is more. Sound that has not died away there counts as noise. Source: fact sheet 6.2 for the tenth; the rest is an own choice.
    /// </remarks>
    public double NoiseDb(int frequency) => _noise.Value[frequency] is var power && double.IsNaN(power) ? double.NaN : Decibels.FromPower(power);

    /// <summary>What the window does to both axes at that frequency.</summary>
    /// <param name="frequency">Number of the frequency, from 0.</param>
    public DecayResolution ResolutionAt(int frequency)
    {
        var window = WindowAt(frequency);
        var time = Kind == DecayMapKind.Cumulative ? window.RiseSeconds : window.LengthSeconds / 2;
        var spacing = SliceSeconds[^1] / (SliceSeconds.Count - 1);
        var bySlices = 60 / (MapLine.LowerDb - MapLine.UpperDb) * (MapLine.LeastSlices - 1) * spacing;
        return new(window.NoiseBandwidthHz, time, Math.Max(DecayOverRise * window.RiseSeconds, bySlices));
    }

    /// <summary>Length of the window at that frequency, in seconds.</summary>
    /// <param name="frequency">Number of the frequency, from 0.</param>
    public double WindowSecondsAt(int frequency) => WindowAt(frequency).LengthSeconds;

    /// <summary>Resonances of the map: strong, and no faster to fall than what surrounds them; the surely slowest first, those with a doubt last.</summary>
    /// <returns>The peaks, each with its decay; none where nothing stands 25 dB above the noise, and none where the noise is not known.</returns>
    /// <remarks>
    /// The decay is a straight line from 5 to 35 dB below the highest level, or down to 10 dB above the noise. Two resonances closer than the window
    /// resolves are one peak. Source: own definition; the range is that of T30 in ISO 3382-1:2009 (fact sheet 4.4).
    /// </remarks>
    public IReadOnlyList<SlowPeak> SlowPeaks() => MapPeaks.Of(this);

    internal MapWindow WindowAt(int frequency) => _windows.Length == 1 ? _windows[0] : _windows[frequency];

    private static DecayMap ByTransform(DecayMapKind kind, MapSignal signal, MapWindow window, double fromHz, double toHz, double overSeconds, int slices)
    {
        var length = 2 * FourierTransform.NextFastLength(window.Weights.Length);   // as many zeros again: a grid of half a resolution
        var (first, last) = ((int)Math.Ceiling(fromHz * length / signal.RateHz), (int)Math.Floor(toHz * length / signal.RateHz));
        if (last < first) throw new ArgumentException(FormattableString.Invariant($"No frequency of the grid lies between {fromHz} and {toHz} Hz; give a longer window or a wider range."), nameof(toHz));
        var frequencies = new double[last - first + 1];
        for (var k = 0; k < frequencies.Length; k++) frequencies[k] = (first + k) * signal.RateHz / length;
        var moments = Moments(signal, overSeconds, slices);
        var powers = MapSlices.ByTransform(signal, window, moments, length, first, frequencies.Length);
        return new(kind, signal, frequencies, Seconds(signal, moments), [window], powers, own =>
        {
            var quiet = MapNoise.Moments(signal, own[0]);
            if (quiet.Length == 0) return [.. frequencies.Select(_ => double.NaN)];
            var mean = MapNoise.Mean(MapSlices.ByTransform(signal, own[0], quiet, length, first, frequencies.Length), frequencies.Length);
            return MapNoise.Ceiling(mean, frequencies, _ => own[0].NoiseBandwidthHz);
        });
    }

    private static int[] Moments(MapSignal signal, double overSeconds, int slices) =>
        [.. Enumerable.Range(0, slices).Select(i => (int)Math.Round(i * overSeconds / (slices - 1) * signal.RateHz))];

    private static double[] Seconds(MapSignal signal, int[] moments) => [.. moments.Select(moment => moment / signal.RateHz)];

    private static double RiseDecay()
    {
        const int Steps = 1000;
        var levels = new double[Steps];
        for (var i = 0; i < Steps; i++) levels[i] = 2 * Decibels.FromAmplitude(double.SinPi((Steps - i) / (2.0 * Steps)));
        return MapLine.Through(levels, [.. Enumerable.Range(0, Steps).Select(i => (double)i / Steps)], double.NegativeInfinity, 1)!.Value.DecaySeconds;
    }

    private static void Check(ImpulseResponse response, double fromHz, double toHz, double overSeconds, int slices)
    {
        ImpulseDecays.CheckFinite(response, nameof(response));
        if (response.Length == 0) throw new ArgumentException("Got a response of 0 samples; must hold at least 1.", nameof(response));
        if (!(toHz > 0 && toHz <= HighestRatio * response.SampleRateHz))
            throw new ArgumentOutOfRangeException(nameof(toHz), toHz, FormattableString.Invariant($"Must be in (0, {HighestRatio * response.SampleRateHz}] Hz, 0.45 of the sample rate."));
        if (!(fromHz > 0 && fromHz < toHz)) throw new ArgumentOutOfRangeException(nameof(fromHz), fromHz, FormattableString.Invariant($"Must be in (0, {toHz}) Hz."));
        CheckSeconds(overSeconds, nameof(overSeconds));
        if (slices is < 2 or > LargestSlices) throw new ArgumentOutOfRangeException(nameof(slices), slices, $"Must be in [2, {LargestSlices}].");
    }

    private static void CheckSeconds(double seconds, string name)
    {
        if (!(seconds > 0 && seconds <= LongestSeconds)) throw new ArgumentOutOfRangeException(name, seconds, $"Must be in (0, {LongestSeconds}] s.");
    }
}
