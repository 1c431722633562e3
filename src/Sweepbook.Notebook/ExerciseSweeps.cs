// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Stimuli;

namespace Sweepbook.Notebook;

public sealed partial class Exercise
{
    /// <summary>How long must the sweep be for so much more signal over noise, at the same level? In seconds, within 1 %.</summary>
    /// <param name="sweep">The sweep as it is.</param>
    /// <param name="snrGainDb">What is missing, in decibels above zero.</param>
    /// <returns>The exercise.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The gain is not above zero and finite.</exception>
    /// <remarks>For steady noise. Source: as for <see cref="SweepDesign.SnrGainDbOver"/>.</remarks>
    public static Exercise SweepLengthFor(SweepDesign sweep, double snrGainDb)
    {
        ArgumentNullException.ThrowIfNull(sweep);
        if (!(snrGainDb > 0 && double.IsFinite(snrGainDb))) throw new ArgumentOutOfRangeException(nameof(snrGainDb), snrGainDb, "Must be in (0, ∞) dB.");
        var (now, wanted, times) = (sweep.Seconds, sweep.SecondsForSnrGain(snrGainDb), Decibels.ToPowerRatio(snrGainDb));
        return new("The length of the sweep", wanted, AnswerUnit.Seconds, CalculatedShare,
            "Energy goes with the length, and the noise in the response stays what it was. Which ratio of energies are so many decibels? Multiply the length of now by it.",
            "Level would buy the same, and would cost the driver and the listener; length costs patience.",
            new(now * Decibels.ToAmplitudeRatio(snrGainDb), "That turns decibels into a ratio of pressures. Length buys energy, so it is the ratio of powers that counts."),
            new(now * (1 + snrGainDb / Decibels.FromPower(2)), "Each doubling was counted as one more length of the sweep. The next doubling doubles what is there already."),
            new(now * snrGainDb / Decibels.FromPower(2), "The length was multiplied by the number of doublings. It has to be doubled that many times over."),
            new(now * Math.Exp(snrGainDb / 10), "The power of e was taken. Decibels go with powers of ten."),
            new(times, "That is how many times as long it must be. The question is how long that makes it."),
            new(wanted - now, "That is how much longer it must become. The question is the whole length."),
            new(now / times, "Upside down: more signal over noise takes a longer sweep, not a shorter one."));
    }

    /// <summary>By how much does a harmonic lie before the response? In seconds, within 1 %.</summary>
    /// <param name="sweep">The sweep; exponential or synchronised.</param>
    /// <param name="order">Order of the harmonic, 2 or more.</param>
    /// <returns>The exercise; it cannot tell for a linear sweep.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The order is below 2.</exception>
    /// <remarks>Source: as for <see cref="SweepDesign.HarmonicLeadSeconds"/>.</remarks>
    public static Exercise HarmonicLead(SweepDesign sweep, int order)
    {
        ArgumentNullException.ThrowIfNull(sweep);
        ArgumentOutOfRangeException.ThrowIfLessThan(order, 2);
        var growth = sweep.HarmonicLeadSeconds(2) / Math.Log(2);   // time in which the frequency grows e-fold; NaN for a linear sweep
        var span = sweep.Seconds / growth;
        return new("The lead of the harmonic", sweep.HarmonicLeadSeconds(order), AnswerUnit.Seconds, CalculatedShare,
            "The harmonic is as high as the sweep will be when its frequency has grown by the order. How long does that take, if from start to end it grows by their ratio? Logarithms of ratios are to each other as times.",
            "It is the same at every frequency, so the whole harmonic stands before the response like an earlier recording of the room.",
            new(growth * Math.Log10(order), "Two kinds of logarithm were mixed: the natural one for the whole sweep, the decimal one for the order. Take one kind for both."),
            new(growth * Math.Log(10) * Math.Log(order), "Two kinds of logarithm were mixed: the decimal one for the whole sweep, the natural one for the order. Take one kind for both."),
            new(growth * order, "The order went in as it is. It is a ratio of frequencies, and times go with the logarithm of ratios here."),
            new(growth, "That is the time in which the frequency grows by the factor e. The question is how long it takes to grow by the order."),
            new(growth * Math.Log(order + 1), "That is the next harmonic. The sweep itself has the order one."),
            new(order > 2 ? growth * Math.Log(order - 1) : double.NaN, "That is the harmonic before. The sweep itself has the order one."),
            new(sweep.Seconds / order, "The length of the sweep over the order would fit a line; an exponential sweep takes equal times for equal ratios."),
            new(span * Math.Log(order) / sweep.Seconds, "The fraction is upside down: a longer sweep gives a longer lead."));
    }

    /// <summary>How long may one listen to a level in a day? In minutes, within 1 %.</summary>
    /// <param name="aWeightedLevelDb">The level at the ear in dB(A), above 85 and at most 115.</param>
    /// <returns>The exercise.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The level is outside that range.</exception>
    /// <remarks>Misleads in the bass, see <see cref="Exposure"/>, which also names the source.</remarks>
    public static Exercise ListeningTime(double aWeightedLevelDb)
    {
        if (!(aWeightedLevelDb > Exposure.DayLevelDb && aWeightedLevelDb <= Exposure.CeilingDb))
            throw new ArgumentOutOfRangeException(nameof(aWeightedLevelDb), aWeightedLevelDb, $"Must be in ({Exposure.DayLevelDb}, {Exposure.CeilingDb}] dB(A).");
        var day = Exposure.AllowedMinutes(Exposure.DayLevelDb);
        var halvings = Math.Log2(day / Exposure.AllowedMinutes(aWeightedLevelDb));
        var above = aWeightedLevelDb - Exposure.DayLevelDb;
        return new("The allowed time", day / Math.Pow(2, halvings), AnswerUnit.Minutes, CalculatedShare,
            "Count how many steps the level lies above that of a whole working day, each step as large as the text says. Each of them halves the time, and half a step takes its root.",
            "It is for all that is heard in one day: music, tools and the way home are in it too.",
            new(day / Math.Pow(2, above / 5), "That halves the time for each 5 dB, as an older rule does. The energy doubles with every 3 dB, and so does the harm."),
            new(day / Math.Pow(2, above / 6), "That halves the time for each 6 dB, which doubles the pressure. What counts is the energy, which doubles sooner."),
            new(day / Math.Pow(2, above), "That halves the time for every single decibel."),
            new(day / halvings, "The day was divided by the number of steps. Each step halves what the step before has left."),
            new(day * Math.Pow(2, halvings), "That is longer than a day: a louder sound may be heard for a shorter time."),
            new(day / Math.Pow(2, (aWeightedLevelDb - 90) / 5), "That begins at 90 dB(A), as an older rule does; the text begins at 85."),
            new(day * (1 - Math.Pow(2, -halvings)), "That is what would be left of the working day. The question is how long the sound may last."));
    }
}
