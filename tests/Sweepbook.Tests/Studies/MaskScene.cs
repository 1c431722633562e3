// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Spectra;
using Sweepbook.Studies;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>Takes of the small survey's sweep in which one trouble is planted, and looks at what the mask says about it.</summary>
internal static class MaskScene
{
    private static readonly double SweepSeconds = SmallSurvey.Design.Description.SweepSeconds;

    /// <summary>f = start · (end/start)^(t/T): A. Farina, AES 108 (2000).</summary>
    internal static double FrequencyHzAfter(double seconds) => 10 * Math.Pow(2000, Math.Clamp(seconds, 0, SweepSeconds) / SweepSeconds);

    /// <summary>The sweep at a quarter of full scale with noise, each sample changed by a rule that knows the frequency then played.</summary>
    internal static Recording Played(Func<double, double, double> change, double noise = 1e-5, ulong seed = 1)
    {
        var (design, hiss) = (SmallSurvey.Design, Signals.Noise(SmallSurvey.Design.Length, seed));
        var samples = new double[design.Length];
        for (var n = 0; n < samples.Length; n++)
            samples[n] = change(0.5 * design[n], FrequencyHzAfter((double)(n - design.SweepStart) / SmallSurvey.Rate)) + noise * hiss[n];
        return new(SmallSurvey.Rate, [samples, design.ToArray()]);
    }

    /// <summary>The kinds of doubt about level or phase anywhere between two frequencies.</summary>
    internal static Doubt[] Doubts(this Response response, double fromHz, double toHz, bool isPhase = false) =>
        [.. response.Points().Where(point => point.FrequencyHz >= fromHz && point.FrequencyHz <= toHz)
            .Select(point => (isPhase ? point.PhaseReason : point.LevelReason).Doubt).Distinct().Order()];

    /// <summary>What the mask says nearest to a frequency.</summary>
    internal static Reason ReasonAt(this Response response, double frequencyHz) => response.Points().MinBy(point => Math.Abs(point.FrequencyHz - frequencyHz)).LevelReason;

    internal static Response Only(SmallSurvey folder) => Assert.Single(Study.Of(folder.Read()).Responses).Response;
}
