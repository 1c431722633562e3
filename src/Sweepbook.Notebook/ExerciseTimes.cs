// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Notebook;

public sealed partial class Exercise
{
    /// <summary>How far away is a loudspeaker whose sound comes so late in a recording, if the devices alone take a known time? In metres, within 1 %.</summary>
    /// <param name="heardAfterMs">When the sound begins after the start of the stimulus, in milliseconds, latency included.</param>
    /// <param name="latencyMs">What the devices take of it, in milliseconds, in [0, <paramref name="heardAfterMs"/>).</param>
    /// <param name="temperatureCelsius">Temperature of the air in degrees Celsius.</param>
    /// <returns>The exercise.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The latency is outside its interval, or the temperature outside that of <see cref="Air"/>.</exception>
    /// <remarks>Misleads for a source that delays its sound by itself, as processors and subwoofers do. Source: distance = speed of sound · time, the speed as in <see cref="Air"/>.</remarks>
    public static Exercise Distance(double heardAfterMs, double latencyMs, double temperatureCelsius)
    {
        if (!(latencyMs >= 0 && latencyMs < heardAfterMs && double.IsFinite(heardAfterMs)))
            throw new ArgumentOutOfRangeException(nameof(latencyMs), latencyMs, FormattableString.Invariant($"Must be in [0, {heardAfterMs}) ms."));
        var speed = Air.SpeedOfSoundMetresPerSecond(temperatureCelsius);
        var seconds = (heardAfterMs - latencyMs) / 1000;
        return new("The distance", speed * seconds, AnswerUnit.Metres, CalculatedShare,
            "How much of the time was the sound in the air? The rest passed in the devices. Sound covers the speed of sound in each second of it.",
            "It can be checked with a tape measure, which is the best test of a time zero that there is.",
            new(speed * heardAfterMs / 1000, "The latency is still in it: that would be the distance if the devices took no time at all."),
            new(speed * latencyMs / 1000, "That is how far sound travels during the latency. What is wanted is the time that remains without it."),
            new(speed * (heardAfterMs + latencyMs) / 1000, "The latency was added. It is contained in the time that was read, so it has to come off."),
            new(speed * seconds / 2, "That was halved, as for an echo that travels there and back. This sound goes one way."),
            new(340 * seconds, "The speed of sound was taken as a round number. It depends on the temperature, which is stated, and the text above says how fast sound is there."),
            new(Air.SpeedOfSoundMetresPerSecond(0) * seconds, "That takes the speed of sound at the freezing point. It grows with the temperature, and the survey states that."),
            new(seconds / speed, "The time was divided by the speed. A distance is their product."));
    }

    /// <summary>By how many degrees does a delay turn the phase at one frequency? In degrees with its sign, whole turns counted, within 1 %.</summary>
    /// <param name="delayMs">The delay in milliseconds; negative is earlier; not zero.</param>
    /// <param name="frequencyHz">The frequency in hertz, above zero.</param>
    /// <returns>The exercise.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The delay is zero or not finite, or the frequency not above zero and finite.</exception>
    /// <remarks>Convention e^{+jωt}, so a delay makes the phase fall. Source: φ = −360° · f · τ, the shift theorem as for <see cref="Spectra.Response.Delayed"/>.</remarks>
    public static Exercise PhaseOfDelay(double delayMs, double frequencyHz)
    {
        if (!(delayMs != 0 && double.IsFinite(delayMs))) throw new ArgumentOutOfRangeException(nameof(delayMs), delayMs, "Must be in (−∞, ∞) ms and not 0.");
        if (!(frequencyHz > 0 && double.IsFinite(frequencyHz))) throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, "Must be in (0, ∞) Hz.");
        var turns = -delayMs / 1000 * frequencyHz;
        return new("The change of phase", 360 * turns, AnswerUnit.Degrees, CalculatedShare,
            "How many periods of this frequency fit into the delay? Each is a whole turn. Later makes the phase fall, earlier makes it rise.",
            "The same delay turns a low frequency less and a high one more: that is why it leaves some frequencies alone and ruins others.",
            new(180 * turns, "That counts half a turn for each period. A whole period is a whole turn."),
            new(360_000 * turns, "Milliseconds were taken for seconds."),
            new(Math.IEEERemainder(360 * turns, 360), "That is the same point of the circle with the whole turns taken off. Here they are counted."),
            new(360 / turns, "The fraction is upside down: a longer delay turns further."));
    }

    /// <summary>How long must a window be after the arrival for the response to be trusted from a frequency on? In seconds, within 1 %.</summary>
    /// <param name="fromHz">The frequency in hertz, above zero.</param>
    /// <returns>The exercise.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The frequency is not above zero and finite.</exception>
    /// <remarks>Two periods must fit in: the rule of <see cref="Impulses.ImpulseWindow.TrustedFromHz"/>, which is its source. Misleads where noise sets the limit and not the window.</remarks>
    public static Exercise WindowFor(double fromHz)
    {
        if (!(fromHz > 0 && double.IsFinite(fromHz))) throw new ArgumentOutOfRangeException(nameof(fromHz), fromHz, "Must be in (0, ∞) Hz.");
        return new("The length of the window", 2 / fromHz, AnswerUnit.Seconds, CalculatedShare,
            "How long does one period of that frequency last, and how many of them must fit into the window?",
            "Everything that the room adds within that time is in the response as well: a short window and the bass exclude each other.",
            new(1 / fromHz, "One period fits in: that is the finest detail the window lets through. There it still shapes the response itself; it takes twice as much to be trusted."),
            new(0.5 / fromHz, "Half a period only: the two belongs above the fraction line."),
            new(1 / (Math.PI * fromHz), "The frequency was turned into radians per second. Periods are counted in hertz."),
            new(fromHz / 2, "Upside down: a lower frequency wants a longer window."));
    }
}
