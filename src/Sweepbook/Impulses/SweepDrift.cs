// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Stimuli;
using Sweepbook.Transforms;

namespace Sweepbook.Impulses;

/// <summary>Clock error from the direct sound of a sweep: the drift that makes it sharpest, then a fit of its phase over frequency.</summary>
/// <remarks>
/// The fit allows for a delay, a constant, and a part that falls as 1 / f, as the phase of a crossover or high-pass does far above its frequency; what a loudspeaker does beyond
/// that is taken for an error of 0.35 radians that hangs together over an octave, and rules the uncertainty. Source: derived.
/// </remarks>
internal static class SweepDrift
{
    private const double LargestPpm = 1000;
    private const double LowestHz = 2000;              // below, reflections arrive within a period or two and no direct sound stands alone
    private const double ShortestOctaves = 1;
    private const double RoomSeconds = 0.02;           // kept on either side of where drift may put the direct sound
    private const double GateSeconds = 0.001;          // half of the window round the direct sound
    private const double WantedPeakRatio = 8;          // peak over root mean square of its surroundings
    private const double DirectRatio = 0.5;
    private const double StepPart = 0.3;               // of a period at the upper end, over the span of the band: the sharpness then loses less than a tenth
    private const double LoudspeakerRadians = 0.35;    // own choice: what is left of a loudspeaker's phase; tested on two-way loudspeakers with steep crossovers
    private const double LoudspeakerOctaves = 1;       // how far over frequency that hangs together
    private const int PointsPerOctave = 12;

    internal static ClockReading Read(Stimulus stimulus, ReadOnlySpan<double> recording)
    {
        var law = stimulus.Description.Law;
        var plan = Deconvolution.By(stimulus, recording.Length);
        var (fromHz, toHz) = (Math.Max(LowestHz, plan.ExcitedFromHz * 1.2), Math.Min(plan.ExcitedToHz * 0.9, 0.45 * stimulus.SampleRateHz));
        if (!(Math.Log2(toHz / fromHz) >= ShortestOctaves))
            return ClockReading.Unknown(FormattableString.Invariant($"the sweep plays less than an octave above {LowestHz / 1000:0} kHz, and below that the room's own delay hides the drift"));
        var band = new Band(law, fromHz, toHz, stimulus.SampleRateHz);
        var segment = Cut(plan.Of(recording), (int)((LargestPpm * 1e-6 * law.Seconds + RoomSeconds) * stimulus.SampleRateHz));
        var bins = FourierTransform.OfReal(segment, segment.Length);
        var step = StepPart * 1e6 / (toHz * (law.SecondsAtHz(toHz) - law.SecondsAtHz(fromHz)));
        var (best, sharpest) = (0.0, 0.0);
        for (var k = -(int)(LargestPpm / step); k <= LargestPpm / step; k++)
            if (TakeMax(band.Sharpened(bins, k * step, segment.Length)) is var (_, peak) && peak > sharpest) (best, sharpest) = (k * step, peak);
        var sharp = band.Sharpened(bins, best, segment.Length);
        var gate = (int)(GateSeconds * stimulus.SampleRateHz);
        if (!(sharpest >= WantedPeakRatio * AroundRms(sharp, TakeMax(sharp).At, gate)))
            return ClockReading.Unknown("the direct sound of the sweep does not stand out of noise and room");
        var reading = ClockReading.Unknown("");
        for (var round = 0; round < 3; round++)
        {
            reading = Fitted(band, band.Sharpened(bins, best, segment.Length), best, gate);
            best = reading.Ppm;
        }
        return reading.UncertaintyPpm <= ClockReading.MostUncertainPpm && Math.Abs(best) <= 1.1 * LargestPpm ? reading
            : ClockReading.Unknown(FormattableString.Invariant($"the sweep is too short to tell a drift from the loudspeaker's own delay (± {reading.UncertaintyPpm:0} ppm)"));
    }

    /// <summary>The surroundings of the strongest few milliseconds; zeros where the record ends.</summary>
    private static double[] Cut(ImpulseResponse whole, int reach)
    {
        var block = Math.Max(1, whole.SampleRateHz / 200);
        var (sum, most, centre) = (0.0, 0.0, 0);
        for (var n = 0; n < whole.Length; n++)
        {
            sum += whole.Samples[n] * whole.Samples[n] - (n >= block ? whole.Samples[n - block] * whole.Samples[n - block] : 0);
            if (sum > most) (most, centre) = (sum, n - block / 2);
        }
        var segment = new double[StimulusSpectrum.EvenLength(2 * reach)];
        for (var n = 0; n < segment.Length; n++)
            if (centre - segment.Length / 2 + n is >= 0 and var k && k < whole.Length) segment[n] = whole.Samples[k];
        return segment;
    }

    private static ClockReading Fitted(Band band, double[] sharp, double ppm, int gate)
    {
        var (strongest, peak) = TakeMax(sharp);
        var direct = strongest;
        for (var n = Math.Max(1, strongest - 10 * gate); n < strongest; n++)   // a reflection may be louder, but not by much
            if (Math.Abs(sharp[n]) >= DirectRatio * peak && Math.Abs(sharp[n]) >= Math.Abs(sharp[n + 1]) && Math.Abs(sharp[n]) >= Math.Abs(sharp[n - 1])) { direct = n; break; }
        var window = Window.Tukey(2 * gate + 1, 1);
        double[] Gated(int centre) => [.. Enumerable.Range(0, window.Length).Select(n => centre - gate + n is >= 0 and var k && k < sharp.Length ? window[n] * sharp[k] : 0)];
        var frequencies = new double[(int)(PointsPerOctave * Math.Log2(band.ToHz / band.FromHz)) - 1];
        for (var k = 0; k < frequencies.Length; k++) frequencies[k] = band.FromHz * Math.Pow(2, (k + 1.0) / PointsPerOctave);
        var sound = DiscreteTimeTransform.At(Gated(direct), gate, band.SampleRateHz, frequencies);
        var noise = DiscreteTimeTransform.At(Gated(direct - 3 * gate), gate, band.SampleRateHz, frequencies);
        var (noisePower, soundPower) = (noise.Sum(bin => bin.Magnitude * bin.Magnitude), sound.Sum(bin => bin.Magnitude * bin.Magnitude));
        var phase = new double[frequencies.Length];
        for (var k = 0; k < phase.Length; k++) phase[k] = k == 0 ? sound[0].Phase : phase[k - 1] + (sound[k] / sound[k - 1]).Phase;
        var model = new double[frequencies.Length][];
        for (var k = 0; k < model.Length; k++)   // drift, delay, polarity, and what a crossover or a high-pass does to the phase far above its own frequency
            model[k] = [-2 * Math.PI * frequencies[k] * band.LateSecondsAt(frequencies[k]), -2 * Math.PI * frequencies[k], 1, band.FromHz / frequencies[k]];
        var (values, deviations) = CorrelatedFit.Of(model, phase, (i, j) =>
            LoudspeakerRadians * LoudspeakerRadians * Math.Exp(-Math.Abs(Math.Log2(frequencies[i] / frequencies[j])) / LoudspeakerOctaves)
            + (i == j ? 1e-6 + noisePower / (2 * soundPower) : 0));
        return new(ppm + values[0] * 1e6, deviations[0] * 1e6, FormattableString.Invariant($"from the direct sound of the sweep, {band.FromHz / 1000:0.#} to {band.ToHz / 1000:0.#} kHz"));
    }

    private static (int At, double Peak) TakeMax(double[] samples)
    {
        var best = 0;
        for (var n = 1; n < samples.Length; n++)
            if (Math.Abs(samples[n]) > Math.Abs(samples[best])) best = n;
        return (best, Math.Abs(samples[best]));
    }

    private static double AroundRms(double[] samples, int centre, int gate)
    {
        var (sum, count) = (0.0, 0);
        for (var n = 0; n < samples.Length; n++)
            if (Math.Abs(n - centre) > gate) (sum, count) = (sum + samples[n] * samples[n], count + 1);
        return Math.Sqrt(sum / Math.Max(1, count));
    }

    /// <summary>The frequencies used, and the drift that they would have.</summary>
    private sealed record Band(SweepLaw Law, double FromHz, double ToHz, int SampleRateHz)
    {
        private readonly double _middleSeconds = Law.SecondsAtHz(Math.Sqrt(FromHz * ToHz));

        /// <summary>How much later than the middle of the band a frequency plays.</summary>
        internal double LateSecondsAt(double frequencyHz) => Law.SecondsAtHz(frequencyHz) - _middleSeconds;

        /// <summary>The band alone, with the drift of a clock error taken out of its phase.</summary>
        internal double[] Sharpened(Complex[] bins, double ppm, int length)
        {
            var turned = new Complex[bins.Length];
            for (var k = 1; k < bins.Length; k++)
            {
                var frequencyHz = (double)k * SampleRateHz / length;
                if (frequencyHz <= FromHz || frequencyHz >= ToHz) continue;
                var place = Math.Log(frequencyHz / FromHz) / Math.Log(ToHz / FromHz);
                var weight = Math.Min(1, 3 * Math.Min(place, 1 - place));
                turned[k] = bins[k] * Complex.FromPolarCoordinates(weight, 2 * Math.PI * frequencyHz * ppm * 1e-6 * LateSecondsAt(frequencyHz * (1 + ppm * 5e-7)));
            }
            return FourierTransform.ToReal(turned, length);
        }
    }
}
