// SPDX-License-Identifier: MIT

namespace Sweepbook.Impulses;

/// <summary>By how much one response is later than another of the same time group, from the phase between them, and whether one of the two is reversed.</summary>
/// <param name="Seconds">Delay in seconds; positive where the first response is the later one.</param>
/// <param name="UncertaintySeconds">Standard deviation of the delay in seconds: from the noise where it is known, or from how the phases scatter, whichever is larger.</param>
/// <param name="Polarity">+1 where both swing the same way, −1 where one is reversed.</param>
/// <param name="PolarityConfidenceDb">By how much the other polarity, at its own best delay, fits worse: the ratio of the misfits in decibels, 0 or more.</param>
/// <param name="FromHz">Lower end of the band that was used, in hertz.</param>
/// <param name="ToHz">Upper end of the band that was used, in hertz.</param>
/// <param name="FitDegrees">What is left of the phase between the two when delay and polarity are taken off: root mean square in degrees, every octave counting alike.</param>
/// <remarks>
/// φ(f) = −2πf · delay, turned by 180° for the opposite polarity, is fitted to the phase of H₁ · conj(H₂), each frequency weighted by 1 / (variance of its phase): the
/// weights of maximum likelihood, softened by what the phases scatter beyond their noise. Both polarities are searched over the whole interval first, so no phase is unwrapped.
/// Misleads where the two responses differ in shape (two subwoofers of different make, or a room between them): there is no single delay then, <see cref="FitDegrees"/>
/// is large, and the figure is the best compromise; a study's responses then look at the early part alone, or give none. It is no distance: every filter on the way is in it.
/// Source: G. C. Carter, "Coherence and Time Delay Estimation", Proc. IEEE 75 (1987) 236–255 (weights and bound; from memory); the rest by own definition.
/// </remarks>
public readonly record struct RelativeDelay(
    double Seconds, double UncertaintySeconds, int Polarity, double PolarityConfidenceDb, double FromHz, double ToHz, double FitDegrees)
{
    private const double LeastOctaves = 0.5;            // own choice: in less, a delay and the same one a period later fit alike
    private const double PureBelowDegrees = 30;         // two equal sources 30° apart add up within 0.3 dB: 20 · lg(cos 15°)
    private const double LeastConfidenceDb = 2;
    private const double OddsOf20 = 6;                  // likelihoods of n phases with misfits in the ratio r differ by r^(n/2): 20 to 1 is n · ln r = 2 · ln 20

    /// <summary>How long a part from the onset on it was read from, in seconds; 0 where it was read from the whole of both responses.</summary>
    public double EarlySeconds { get; init; }

    /// <summary>True where the polarity may be believed: with one independent phase in a third of an octave, odds of 20 to 1 for it, and 2 dB at the very least.</summary>
    public bool IsPolarityClear => PolarityConfidenceDb >= Math.Max(LeastConfidenceDb, 10 / Math.Log(10) * OddsOf20 / Math.Max(1, 3 * Math.Log2(ToHz / FromHz)));

    /// <summary>True where the two differ by a delay (and a polarity) and hardly by anything else: <see cref="FitDegrees"/> is 30° or less.</summary>
    public bool IsPureDelay => FitDegrees <= PureBelowDegrees;

    /// <summary>How such a delay is found.</summary>
    public static ArrivalMethod Method => ArrivalMethod.CrossPhase;

    /// <summary>The polarity in a word: "same", "opposite" or "ambiguous".</summary>
    public string PolarityInWords => (IsPolarityClear, Polarity) switch { (false, _) => "ambiguous", (_, > 0) => "same", _ => "opposite" };

    /// <summary>The delay of one response after another, in a band in which both phases may be believed.</summary>
    /// <param name="response">The response whose delay is asked for.</param>
    /// <param name="reference">The response that it is compared with, of the same time group and sample rate.</param>
    /// <param name="fromHz">Lower end of the band, in (0, <paramref name="toHz"/>).</param>
    /// <param name="toHz">Upper end of the band, half an octave or more above the lower one and below half the sample rate.</param>
    /// <returns>The delay, searched within ± 200 ms; its uncertainty is from the scatter of the phases, since the noise is not known here.</returns>
    /// <exception cref="ArgumentException">The time groups differ or are unknown, the sample rates differ, the band is too narrow, or a response is silent in it; the message says what to do.</exception>
    /// <remarks>
    /// Misleads as said of the type, and where the band reaches into noise, which counts as much as the signal here; a study's responses know their noise and bands:
    /// ask them. Source: see the type.
    /// </remarks>
    public static RelativeDelay Between(ImpulseResponse response, ImpulseResponse reference, double fromHz, double toHz)
    {
        ArgumentNullException.ThrowIfNull(response);
        ArgumentNullException.ThrowIfNull(reference);
        return Between(response, reference, fromHz, toHz, _ => 0, (double)Math.Min(response.Length, reference.Length) / response.SampleRateHz);
    }

    /// <summary>The same, knowing the noise.</summary>
    /// <param name="response">The response whose delay is asked for.</param>
    /// <param name="reference">The response that it is compared with.</param>
    /// <param name="fromHz">Lower end of the band.</param>
    /// <param name="toHz">Upper end of the band.</param>
    /// <param name="phaseVariance">Variance of the phase between the two by noise alone, in rad², for a frequency in hertz; infinite where the frequency is not to be used.</param>
    /// <param name="windowSeconds">Effective length of the window: frequencies 1 / length apart are independent.</param>
    internal static RelativeDelay Between(
        ImpulseResponse response, ImpulseResponse reference, double fromHz, double toHz, Func<double, double> phaseVariance, double windowSeconds)
    {
        if (response.TimeGroup.WhyNotWith(reference.TimeGroup) is { } why) throw new ArgumentException(why, nameof(reference));
        if (response.SampleRateHz != reference.SampleRateHz)
            throw new ArgumentException($"The responses have {response.SampleRateHz} Hz and {reference.SampleRateHz} Hz. Measure both at one sample rate.", nameof(reference));
        if (!(fromHz > 0 && fromHz < toHz)) throw new ArgumentOutOfRangeException(nameof(fromHz), fromHz, FormattableString.Invariant($"Must be in (0, {toHz}) Hz."));
        if (!(toHz < response.SampleRateHz / 2.0)) throw new ArgumentOutOfRangeException(nameof(toHz), toHz, FormattableString.Invariant($"Must be below {response.SampleRateHz / 2.0} Hz."));
        if (WhyTooNarrow(fromHz, toHz) is { } narrow) throw new ArgumentException(narrow, nameof(toHz));
        var phases = CrossPhase.Of(response, reference, fromHz, toHz, phaseVariance, windowSeconds)
            ?? throw new ArgumentException(FormattableString.Invariant($"One of the responses is silent from {fromHz:0.#} to {toHz:0.#} Hz. Choose a band in which both sources play."), nameof(reference));
        return phases.Fit(fromHz, toHz);
    }

    /// <summary>Why a band is too narrow for a delay; null where it is not.</summary>
    internal static string? WhyTooNarrow(double fromHz, double toHz) => Math.Log2(toHz / fromHz) >= LeastOctaves
        ? null
        : FormattableString.Invariant($"The common band, {fromHz:0.#} to {toHz:0.#} Hz, is narrower than half an octave, so a delay could not be told from one that is a period longer. Record with less noise, or use a stimulus and sources whose bands overlap more.");
}
