// SPDX-License-Identifier: MIT
using Sweepbook.Decay;
using Sweepbook.Quantities;

namespace Sweepbook.Notebook;

public sealed partial class Exercise
{
    private const double ReadShare = 0.05;           // a number read off a figure
    private const double BackwardsProduct = 4;       // fact sheet 4.5
    private const double ForwardsProduct = 16;
    private static readonly double NaturalLogOfAMillion = Math.Log(1e6);   // 60 dB of energy

    /// <summary>How long would the sound take for 60 dB, judging by the two moments at which the curve is 5 and 25 dB down? In seconds, within 5 %.</summary>
    /// <param name="decay">The band; its figure shows both moments.</param>
    /// <returns>The exercise; it cannot tell where the curve does not fall that far.</returns>
    /// <remarks>Two points stand for the whole line here, so the answer is near T20 and not equal to it. Source: ISO 3382-1:2009, the stretch of T20.</remarks>
    public static Exercise DecayTimeByHand(BandDecay decay)
    {
        ArgumentNullException.ThrowIfNull(decay);
        var (early, late) = (Reaches(decay.Curve, -5), Reaches(decay.Curve, -25));
        var fall = late - early;
        return new("The decay time", 3 * fall, AnswerUnit.Seconds, ReadShare,
            "Read the two moments off the curve: where it passes −5 dB and where it passes −25 dB. Between them it falls by 20 dB; the decay time is for 60 dB at the same slope.",
            "T20 does the same with every point between the two, so that a ripple at either end matters less.",
            new(fall, "That is the time for 20 dB. Sixty decibels take longer, at the same slope."),
            new(2 * fall, "A factor of two belongs to T30, which falls by 30 dB; from −5 to −25 dB the curve falls by 20 dB."),
            new(3 * late, "The time was counted from the start of the sound; it counts from the moment at which the curve is 5 dB down."),
            new(decay.T20.Value, "That is T20, which the figure gives and which uses every point in between. Here the two moments alone are asked for."),
            new(3 * fall / NaturalLogOfAMillion, "That is the time in which the energy falls to one part in e. The decay time is for 60 dB, one part in a million."),
            new(20 / fall, "That is the slope in decibels per second. The question is how many seconds 60 dB take at this slope."));
    }

    /// <summary>Which is the shortest decay that a band can show when it is filtered backwards in time? In seconds, within 1 %.</summary>
    /// <param name="band">The band.</param>
    /// <returns>The exercise.</returns>
    /// <remarks>Source: ISO 3382-2:2008, 7.3: the product of bandwidth and decay time is above 4 backwards and above 16 forwards (fact sheet 4.5).</remarks>
    public static Exercise ShortestDecay(FrequencyBand band)
    {
        var width = band.UpperHz - band.LowerHz;
        return new("The shortest decay time", BackwardsProduct / width, AnswerUnit.Seconds, CalculatedShare,
            "A filter rings for as long as its band is narrow. Take the width of the band, upper edge less lower edge, and the product that the text names for filtering backwards.",
            "What rings faster than that is hidden behind the filter, whatever the fit says.",
            new(ForwardsProduct / width, "That is the limit for a band filtered forwards; backwards in time it is lower."),
            new(BackwardsProduct / band.CentreHz, "That takes the frequency of the band for its width."),
            new(BackwardsProduct / band.LowerHz, "That takes the lower edge of the band for its width. The width is the upper edge less the lower one."),
            new(BackwardsProduct / band.UpperHz, "That takes the upper edge of the band for its width. The width is the upper edge less the lower one."),
            new(1 / width, "That is one over the width: the product of width and time that the text asks for is larger than 1."),
            new(BackwardsProduct * width, "Multiplied instead of divided: a wide band can show a short decay."));
    }

    private static double Reaches(DecayCurve curve, double levelDb)
    {
        for (var n = 0; n < curve.Count; n++)
            if (curve[n] <= levelDb) return curve.SecondsAt(n);
        return double.NaN;
    }
}
