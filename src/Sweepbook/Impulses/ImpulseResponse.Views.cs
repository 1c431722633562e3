// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Transforms;
using Sweepbook.Trust;

namespace Sweepbook.Impulses;

/// <content>Other ways to look at it: through a window, as a step, as energy over time, as phase and delay over frequency.</content>
public sealed partial class ImpulseResponse
{
    private const int PointsPerOctave = 96;

    /// <summary>The part round the arrival, through a two-sided window: <c>seat.ImpulseResponse.Windowed(leftMs: 5, rightMs: 80)</c>.</summary>
    /// <param name="leftMs">Length before the arrival in milliseconds, in (0, ∞).</param>
    /// <param name="rightMs">Length T after the arrival in milliseconds, in (0, ∞).</param>
    /// <returns>A new response on the same time axis.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A length is outside its interval.</exception>
    /// <exception cref="ArgumentException">The response is all zeros and has no arrival.</exception>
    /// <remarks>
    /// The arrival is the first large extremum (<see cref="Arrival.AtFirstPeak"/>). What the window does to the trusted band only the result of a study can say, because that band depends on
    /// noise and sweep too: use its own <c>Windowed</c>. Source: <see cref="ImpulseWindow"/>.
    /// </remarks>
    public ImpulseResponse Windowed(double leftMs, double rightMs) => Windowed(ImpulseWindow.OfMilliseconds(leftMs, rightMs));

    /// <summary>The part round the arrival, through any window: <c>seat.ImpulseResponse.Windowed(ImpulseWindow.AfterArrival(lengthMs: 4))</c>.</summary>
    /// <param name="window">The window.</param>
    /// <returns>A new response on the same time axis.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A length is outside its interval.</exception>
    /// <exception cref="ArgumentException">The response is all zeros and has no arrival.</exception>
    /// <remarks>As the other <see cref="Windowed(double, double)"/>, also for the source.</remarks>
    public ImpulseResponse Windowed(ImpulseWindow window)
    {
        return window.Cut(this, ArrivalOf(this).Seconds);
    }

    /// <summary>The step response s[n] = Σ h[m] over m ≤ n: what comes out while 1 goes in from the time zero on.</summary>
    /// <returns>One value per sample, in the unit of the response.</returns>
    /// <exception cref="ArgumentException">A sample is not finite.</exception>
    /// <remarks>
    /// A sweep that starts at f₁ knows nothing of 0 Hz: the step falls back to zero within a fraction of 1/f₁ and begins before the arrival with the ringing of the band limit. That return is not
    /// the loudspeaker's. Noise and rumble add up and make the curve wander the longer it runs. Source: the definition.
    /// </remarks>
    public TimeCurve StepResponse()
    {
        CheckFinite(this);
        var (values, sum) = (new double[Length], 0.0);
        for (var n = 0; n < values.Length; n++) values[n] = sum += Samples[n];
        return new(values, this, "no unit");
    }

    /// <summary>The energy-time curve: the squared envelope |h + j·ĥ|² in decibels relative to its largest value, ĥ being the Hilbert transform of h.</summary>
    /// <returns>One level per sample, 0 dB at the largest; −∞ where there is nothing. Empty for a response without samples.</returns>
    /// <exception cref="ArgumentException">A sample is not finite, or the response is all zeros.</exception>
    /// <remarks>
    /// Shows reflections as peaks with their delay and level. Misleads in three ways: it begins before the sound does, because the Hilbert transform of a click reaches to both sides like 1 / distance; of a
    /// response whose band is B wide no two peaks closer than 1/B stay apart, 5 ms for a subwoofer; and it shows the frequencies of most energy, mostly the highest, where a subwoofer's response
    /// holds nothing but noise: give those its band. Energy here is not the energy of a sound field.
    /// Source: D. Gabor, "Theory of communication", J. IEE 93 (1946) 429–457; R. C. Heyser, "Acoustical measurements by time delay spectrometry", J. Audio Eng. Soc. 15 (1967) 370–382 (from memory).
    /// </remarks>
    public TimeCurve EnergyTimeCurve()
    {
        CheckFinite(this);
        return Levels(AnalyticSignal.EnvelopeOf(Samples), this);
    }

    /// <summary>The energy-time curve of one band: <c>seat.ImpulseResponse.EnergyTimeCurve(15, 200)</c>.</summary>
    /// <param name="fromHz">Lower end of the band in hertz, in (0, ∞): there the weight of an energy is a quarter.</param>
    /// <param name="toHz">Upper end in hertz, at least an octave above the lower one and at most half the sample rate.</param>
    /// <returns>As <see cref="EnergyTimeCurve()"/>.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The band is out of range.</exception>
    /// <exception cref="ArgumentException">A sample is not finite, or the band holds nothing.</exception>
    /// <remarks>
    /// The band is cut out without any delay, so that what rings does so before and after a sound alike; its ends are half cosines over half an octave each. Otherwise as the whole band, also for the
    /// source; the shape of the band is an own choice.
    /// </remarks>
    public TimeCurve EnergyTimeCurve(double fromHz, double toHz)
    {
        CheckFinite(this);
        CheckBand(this, fromHz, toHz);
        return Levels(BandEnvelope.Of(Samples, SampleRateHz, fromHz, toHz), this);
    }

    /// <summary>Phase and group delay between two frequencies, with what of them is minimum phase and what is excess: <c>seat.ImpulseResponse.PhaseParts(20, 200)</c>.</summary>
    /// <param name="fromHz">Lower end of the band in hertz, above zero.</param>
    /// <param name="toHz">Upper end in hertz, at least twice the lower one and at most half the sample rate.</param>
    /// <returns>Values at 96 points per octave.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The band is out of range.</exception>
    /// <exception cref="ArgumentException">The time zero is not known, a sample is not finite, or all are zero.</exception>
    /// <remarks>
    /// Outside the band the level goes on with the slope that it has in the outermost octave, falling by 0 to 48 dB per octave: right for roll-offs, wrong by up to some ten degrees in the outermost
    /// octave of a band that ends in the middle of a resonance. Below −200 dB of its largest value the level counts as −200 dB. See <see cref="Spectra.PhaseParts"/>, also for the source; the continuation is an own choice.
    /// </remarks>
    public PhaseParts PhaseParts(double fromHz, double toHz)
    {
        CheckFinite(this);
        CheckBand(this, fromHz, toHz);
        RequireTimeZero(this);
        return PhaseAnalysis.Of(this, LogGrid.Between(PointsPerOctave, fromHz, toHz), fromHz, toHz);
    }

    internal static void RequireTimeZero(ImpulseResponse impulse)
    {
        if (impulse.TimeZero == TimeZero.Unknown)
            throw new ArgumentException("Nobody knows when the sound of this response left, so its phase and delay say nothing: a recorder that starts a little later gives other ones. "
                + "Record the loopback as a second channel, or play a marker; levels and decays do not need it.", nameof(impulse));
    }

    private static TimeCurve Levels(double[] envelope, ImpulseResponse impulse)
    {
        var largest = 0.0;
        foreach (var value in envelope) largest = Math.Max(largest, value);
        if (envelope.Length > 0 && largest == 0) throw AllZeros();
        for (var n = 0; n < envelope.Length; n++) envelope[n] = Decibels.FromAmplitude(envelope[n] / largest);
        return new(envelope, impulse, "dB relative to the peak");
    }

    private static void CheckBand(ImpulseResponse impulse, double fromHz, double toHz)
    {
        if (!(fromHz > 0 && double.IsFinite(fromHz))) throw new ArgumentOutOfRangeException(nameof(fromHz), fromHz, "Must be in (0, ∞) Hz.");
        var highestHz = impulse.SampleRateHz / 2.0;
        if (!(toHz >= 2 * fromHz && toHz <= highestHz))
            throw new ArgumentOutOfRangeException(nameof(toHz), toHz, FormattableString.Invariant($"Must be in [{2 * fromHz}, {highestHz}] Hz: an octave at least, half the sample rate at most."));
    }

    private static Arrival ArrivalOf(ImpulseResponse impulse) => Arrival.AtFirstPeak(impulse) is { Polarity: not 0 } arrival ? arrival : throw AllZeros();

    private static ArgumentException AllZeros() => new("The response is all zeros; it must hold a sound.");

    private static void CheckFinite(ImpulseResponse impulse)
    {
        ArgumentNullException.ThrowIfNull(impulse);
        for (var n = 0; n < impulse.Length; n++)
            if (!double.IsFinite(impulse.Samples[n])) throw new ArgumentException(FormattableString.Invariant($"Sample {n} is {impulse.Samples[n]}; must be finite, in (−∞, ∞)."), nameof(impulse));
    }
}
