// SPDX-License-Identifier: MIT
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>Right answers and usual mistakes in numbers.</summary>
public sealed partial class ExerciseTests
{
    // each worked out apart from the code, with a pocket calculator and the formula that the exercise names
    [Theory]
    [InlineData("Schroeder frequency", 147.06)]      // 2000 √(0.34 / (5.85 · 4.30 · 2.50))
    [InlineData("lowest mode", 29.36)]              // 343.52 / (2 · 5.85)
    [InlineData("shortest decay", 0.27472)]          // 4 / (63.096 · (10^0.05 − 10^−0.05))
    [InlineData("finest detail", 2.5)]              // 1 / 0.4
    [InlineData("decay of a ridge", 0.6)]
    [InlineData("power mean", -2.8488)]              // 10 lg((10^−0.42 + 10^−1.67 + 10^−0.69 + 0.5 · 10^0.21 + 0.5 · 10^0.12) / 4)
    [InlineData("spread", 6.6353)]                   // mean −6.5375; √((2.3375² + 10.1625² + 0.3625² + 0.5 · 8.6375² + 0.5 · 7.7375²) / 4)
    [InlineData("first cancellation", 119.05)]      // 1000 / (2 · 4.2)
    [InlineData("sweep length", 18.929)]            // 3 · 10^0.8
    [InlineData("harmonic lead", 0.42824)]          // 3 · ln 3 / ln 2200 = 3 · 1.09861 / 7.69621
    [InlineData("listening time", 42.426)]          // 480 / 2^3.5
    [InlineData("distance", 2.9198)]                // 343.507 · 0.0085, with 331.3 · √(1 + 20.5 / 273.15)
    [InlineData("phase of a delay", 222.3)]         // 360 · 95 · 0.0065, earlier and so upwards
    [InlineData("window", 0.025)]                   // 2 / 80
    [InlineData("sound pressure", 10.0237)]          // 20e-6 · 10^5.7
    [InlineData("signal to noise", 57.9)]            // 94 − 36.1
    [InlineData("headroom at a cone", 3.3320)]       // a = √(0.0215 / π) = 0.082726 m; 126 − 95 − 20 lg(2 / 0.082726) = 31 − 27.6680
    [InlineData("offset of sensitivities", 3.9)]
    [InlineData("matched deviation", 3.1)]
    [InlineData("combined uncertainty", 2.27376)]    // √(0.81 + 0.36 + 4)
    [InlineData("port factor", -5.9208)]              // 10 lg(55 / 215)
    [InlineData("loss with distance", -2.5782)]       // x = 25 / 83: 20 lg(√(1 + x²) − x)
    [InlineData("far from near", -35.243)]           // 20 lg(0.083 / 4.8)
    [InlineData("lowest of a gate", 82.756)]         // 342.34 / (√(5.2² + 1.2²) − 1.2)
    public void The_answers_are_those_of_the_formulas(string name, double answer) => Assert.Equal(answer, Made(name).Wanted, Math.Abs(answer) * FourDigits);

    // what a student gets who goes wrong in that way: worked out apart from the code as well
    [Theory]
    [InlineData("Schroeder frequency", 10.81, "without the square root")]
    [InlineData("Schroeder frequency", 27200, "upside down")]
    [InlineData("Schroeder frequency", 4650, "milliseconds")]
    [InlineData("Schroeder frequency", 232.5, "floor area")]
    [InlineData("lowest mode", 58.72, "second mode")]
    [InlineData("lowest mode", 14.68, "quarter wave")]
    [InlineData("lowest mode", 39.94, "across the width")]
    [InlineData("shortest decay", 1.0989, "filtered forwards")]
    [InlineData("shortest decay", 0.0634, "the frequency of the band for its width")]
    [InlineData("shortest decay", 0.0687, "larger than 1")]
    [InlineData("finest detail", 5, "two periods")]
    [InlineData("finest detail", 0.4, "reciprocal")]
    [InlineData("decay of a ridge", 0.01, "one decibel")]
    [InlineData("decay of a ridge", 100, "decibels per second")]
    [InlineData("power mean", -6.54, "a dip as much as a peak")]
    [InlineData("power mean", -4.9, "without the weights")]
    [InlineData("power mean", -1.49, "every seat was counted alike")]
    [InlineData("power mean", 3.17, "divided by the sum of the weights")]
    [InlineData("power mean", 5.5, "plain sum")]
    [InlineData("power mean", -4.35, "averages pressures")]
    [InlineData("spread", 44.03, "variance")]
    [InlineData("spread", 18.8, "grows with every seat")]
    [InlineData("spread", 6.78, "counted alike: two")]
    [InlineData("spread", 7.58, "one less than their number")]
    [InlineData("spread", 7.5, "stand for other places")]
    [InlineData("spread", 44.4, "variance")]            // within a per cent of it, as it is no level
    [InlineData("first cancellation", 238.1, "in phase again")]
    [InlineData("first cancellation", 59.5, "quarter of a period")]
    [InlineData("first cancellation", 357.1, "second cancellation")]
    [InlineData("sweep length", 7.536, "ratio of pressures")]            // 3 · 10^0.4
    [InlineData("sweep length", 10.97, "one more length")]              // 3 · (1 + 8 / 3.0103)
    [InlineData("sweep length", 7.973, "number of doublings")]
    [InlineData("sweep length", 6.31, "how many times")]
    [InlineData("sweep length", 15.93, "how much longer")]
    [InlineData("sweep length", 0.4755, "Upside down")]
    [InlineData("harmonic lead", 0.186, "decimal one for the order")]    // 3 · lg 3 / ln 2200
    [InlineData("harmonic lead", 0.986, "natural one for the order")]    // 3 · ln 3 / lg 2200
    [InlineData("harmonic lead", 1.1694, "as it is")]
    [InlineData("harmonic lead", 0.3898, "by the factor e")]
    [InlineData("harmonic lead", 0.5404, "next harmonic")]
    [InlineData("harmonic lead", 0.2702, "harmonic before")]
    [InlineData("harmonic lead", 1.0, "fit a line")]
    [InlineData("harmonic lead", 2.8184, "upside down")]
    [InlineData("listening time", 111.97, "each 5 dB, as an older rule")]
    [InlineData("listening time", 142.7, "each 6 dB")]
    [InlineData("listening time", 0.3314, "every single decibel")]
    [InlineData("listening time", 137.1, "divided by the number of steps")]
    [InlineData("listening time", 5430.6, "longer than a day")]
    [InlineData("listening time", 223.9, "begins at 90")]
    [InlineData("listening time", 437.6, "left of the working day")]
    [InlineData("distance", 6.698, "latency is still in it")]            // 343.507 · 0.0195
    [InlineData("distance", 3.779, "during the latency")]
    [InlineData("distance", 10.477, "latency was added")]
    [InlineData("distance", 1.46, "as for an echo")]
    [InlineData("distance", 2.816, "freezing point")]                    // 331.3 · 0.0085
    [InlineData("distance", 2.4745e-5, "divided by the speed")]
    [InlineData("phase of a delay", 111.15, "half a turn")]
    [InlineData("phase of a delay", 222300, "for seconds")]
    [InlineData("phase of a delay", -137.7, "same point of the circle")]
    [InlineData("phase of a delay", 583.0, "upside down")]               // 360 / 0.6175
    [InlineData("window", 0.0125, "One period")]
    [InlineData("window", 0.00625, "Half a period")]
    [InlineData("window", 0.003979, "radians")]                          // 1 / (80 π)
    [InlineData("window", 40, "Upside down")]
    [InlineData("sound pressure", 14.176, "the peak of the sine")]
    [InlineData("sound pressure", 7.088, "nothing is left to divide")]
    [InlineData("sound pressure", 5023773, "ratio of powers")]           // 20e-6 · 10^11.4
    [InlineData("sound pressure", 501187, "the ratio alone")]
    [InlineData("sound pressure", 1.00237, "Twenty decibels are missing")]
    [InlineData("signal to noise", 77.9, "louder of the two")]
    [InlineData("signal to noise", 63.9, "round hundred")]
    [InlineData("signal to noise", 130.1, "were added")]
    [InlineData("signal to noise", 36.1, "the noise itself")]
    [InlineData("headroom at a cone", 31, "at one metre")]
    [InlineData("headroom at a cone", 17.166, "10 lg of a ratio")]       // 31 − 13.834
    [InlineData("headroom at a cone", 9.353, "factor of two")]           // 31 − 21.647
    [InlineData("headroom at a cone", 15.373, "by the diameter")]        // 31 − 15.627
    [InlineData("headroom at a cone", -8.372, "divides by the area")]    // 31 − 20 lg(2 / 0.0215)
    [InlineData("headroom at a cone", 8.304, "side of a square")]        // 31 − 20 lg(2 / 0.146629)
    [InlineData("headroom at a cone", 58.668, "taken off the level")]
    [InlineData("offset of sensitivities", 1.95, "20 lg and not 10 lg")]
    [InlineData("offset of sensitivities", 7.8, "twice as much")]
    [InlineData("offset of sensitivities", -48.7, "were added")]
    [InlineData("offset of sensitivities", -22.4, "tested microphone alone")]
    [InlineData("offset of sensitivities", -26.3, "reference alone")]
    [InlineData("matched deviation", 6.7, "still in it")]
    [InlineData("matched deviation", 10.3, "has to come off")]
    [InlineData("matched deviation", 3.6, "the sensitivity alone")]
    [InlineData("matched deviation", 5.15, "mean of the two")]
    [InlineData("matched deviation", 1.55, "taken off whole")]
    [InlineData("combined uncertainty", 3.5, "plain sum")]
    [InlineData("combined uncertainty", 5.17, "root is missing")]
    [InlineData("combined uncertainty", 2, "largest part alone")]
    [InlineData("combined uncertainty", 1.1667, "mean of the parts")]
    [InlineData("combined uncertainty", 4.5475, "went in twice")]
    [InlineData("combined uncertainty", 1.3128, "root of the mean")]
    [InlineData("port factor", -11.84, "ratio of the areas itself")]     // 20 lg(55 / 215)
    [InlineData("port factor", -2.96, "ratio of the diameters")]        // 5 lg(55 / 215)
    [InlineData("port factor", 3.56, "already the sum")]
    [InlineData("loss with distance", -2.29, "one radius behind")]      // −20 lg(1 + x)
    [InlineData("loss with distance", -1.30, "diameter went in")]
    [InlineData("loss with distance", 0.38, "Only the root")]
    [InlineData("loss with distance", -10.42, "still has to go through")]
    [InlineData("far from near", -29.22, "endless wall")]                // 20 lg(0.083 / 2.4)
    [InlineData("far from near", -23.20, "second one of the whole space")]
    [InlineData("far from near", -17.62, "not 10 lg")]
    [InlineData("far from near", -12.04, "only the factors of two")]
    [InlineData("lowest of a gate", 205.8, "counted once")]
    [InlineData("lowest of a gate", 64.15, "whole way by the floor")]
    [InlineData("lowest of a gate", 165.5, "Two periods")]
    [InlineData("lowest of a gate", 41.38, "Half a period")]
    [InlineData("lowest of a gate", 0.01208, "reciprocal")]
    [InlineData("decay of a ridge", 0.04343, "one part in e")]           // 0.6 / ln 10^6
    [InlineData("shortest decay", 0.07113, "lower edge")]                // 4 / 56.234
    [InlineData("shortest decay", 0.05650, "upper edge")]                // 4 / 70.795
    [InlineData("Schroeder frequency", 9247, "multiplied")]              // 2000 √(0.34 · 62.8875)
    [InlineData("sweep length", 6.6766, "power of e")]                   // 3 · e^0.8
    [InlineData("distance", 2.89, "round number")]                       // 340 · 0.0085
    [InlineData("sound pressure", 28.351, "to its highest")]
    [InlineData("loss with distance", -1.289, "not 10 lg")]
    public void A_wrong_way_is_answered_by_what_was_wrong_about_it(string name, double answer, string words)
    {
        Assert.Equal(ReplyKind.UsualMistake, Made(name).Check(answer).Kind);
        Assert.Contains(words, Made(name).Check(answer).Sentence);
    }

    private const double FourDigits = 3e-4;   // of the answers above
}
