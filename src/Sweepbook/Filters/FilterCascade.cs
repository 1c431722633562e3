// SPDX-License-Identifier: MIT
using System.Numerics;

namespace Sweepbook.Filters;

/// <summary>Second-order sections in a row, for one sample rate: coefficients only. What a channel remembers is a <see cref="FilterState"/>.</summary>
/// <remarks>Everything here treats what lies outside a signal as silence, which is right for impulse responses and wrong for a cut-out of a steady tone.</remarks>
public sealed class FilterCascade
{
    private const double Forgotten = 1e-17;   // below the rounding of a double
    private const double Inaudible = 1e-200;  // −4000 dB: set to zero before the processor slows down on the smallest numbers
    private const int LongestTailSamples = 1 << 26;

    private readonly Biquad[] _sections;

    private FilterCascade(int sampleRateHz, Biquad[] sections) => (SampleRateHz, _sections) = (sampleRateHz, sections);

    /// <summary>The sample rate that the coefficients belong to, in hertz.</summary>
    public int SampleRateHz { get; }

    /// <summary>The sections, in the order in which the signal meets them.</summary>
    public IReadOnlyList<Biquad> Sections => _sections;

    /// <summary>The given sections in a row: H = H1 · H2 · …</summary>
    /// <param name="sections">At least one section; all of the same sample rate, above zero.</param>
    /// <returns>The cascade.</returns>
    /// <exception cref="ArgumentException">No section, or sections of different sample rates.</exception>
    /// <remarks>Needs no source: it is a product.</remarks>
    public static FilterCascade Of(params ReadOnlySpan<Biquad> sections)
    {
        if (sections.IsEmpty) throw new ArgumentException("Got 0 sections; must be at least 1.", nameof(sections));
        var rateHz = sections[0].SampleRateHz;
        foreach (var section in sections)
            if (section.SampleRateHz != rateHz || rateHz < 1)
                throw new ArgumentException($"Got a section for {section.SampleRateHz} Hz beside one for {rateHz} Hz; must be one rate above zero.", nameof(sections));
        return new(rateHz, sections.ToArray());
    }

    /// <inheritdoc cref="ButterworthDesign.LowPass"/>
    public static FilterCascade ButterworthLowPass(double cornerHz, int order, int sampleRateHz) => Of(ButterworthDesign.LowPass(cornerHz, order, sampleRateHz));

    /// <inheritdoc cref="ButterworthDesign.HighPass"/>
    public static FilterCascade ButterworthHighPass(double cornerHz, int order, int sampleRateHz) => Of(ButterworthDesign.HighPass(cornerHz, order, sampleRateHz));

    /// <inheritdoc cref="ButterworthDesign.BandPass(double, double, int, int)"/>
    public static FilterCascade ButterworthBandPass(double lowerHz, double upperHz, int order, int sampleRateHz) =>
        Of(ButterworthDesign.BandPass(lowerHz, upperHz, order, sampleRateHz));

    /// <summary>Linkwitz–Riley low-pass: a Butterworth of half the order, twice; −6.02 dB at its corner.</summary>
    /// <param name="cornerHz">Corner frequency in hertz, in (0, sample rate / 2).</param>
    /// <param name="order">2, 4, 6 … 16; 4 falls by 24 dB per octave.</param>
    /// <param name="sampleRateHz">Sample rate in hertz, above zero.</param>
    /// <returns>The cascade.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An argument is outside its interval, or the order is odd.</exception>
    /// <remarks>
    /// Low and high half of orders 4, 8, … add to an all-pass as they are; those of orders 2, 6, … when one of them is reversed in polarity.
    /// Source: S. H. Linkwitz, "Active Crossover Networks for Noncoincident Drivers", J. Audio Eng. Soc. 24 (1976) 2–8 (fact sheet 12.4).
    /// </remarks>
    public static FilterCascade LinkwitzRileyLowPass(double cornerHz, int order, int sampleRateHz) => Twice(ButterworthLowPass(cornerHz, Half(order), sampleRateHz));

    /// <summary>Linkwitz–Riley high-pass: a Butterworth of half the order, twice; −6.02 dB at its corner.</summary>
    /// <inheritdoc cref="LinkwitzRileyLowPass"/>
    public static FilterCascade LinkwitzRileyHighPass(double cornerHz, int order, int sampleRateHz) => Twice(ButterworthHighPass(cornerHz, Half(order), sampleRateHz));

    /// <summary>This cascade and then another: the responses multiply.</summary>
    /// <param name="next">A cascade for the same sample rate.</param>
    /// <returns>The longer cascade.</returns>
    /// <exception cref="ArgumentException">Another sample rate.</exception>
    /// <remarks>Needs no source: it is a product.</remarks>
    public FilterCascade Then(FilterCascade next)
    {
        ArgumentNullException.ThrowIfNull(next);
        if (next.SampleRateHz != SampleRateHz)
            throw new ArgumentException($"The next cascade is for {next.SampleRateHz} Hz; must be for {SampleRateHz} Hz.", nameof(next));
        return new(SampleRateHz, [.. _sections, .. next._sections]);
    }

    /// <summary>H at one frequency: the product of the sections' responses.</summary>
    /// <param name="frequencyHz">Frequency in hertz, in [0, sample rate / 2].</param>
    /// <returns>Output over input, linear, complex; a delay makes its phase fall. Zero-phase use has its squared magnitude.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Outside the interval.</exception>
    /// <remarks>The steady state only. Source: the definition of H.</remarks>
    public Complex ResponseAt(double frequencyHz)
    {
        var response = Complex.One;
        foreach (var section in _sections) response *= section.ResponseAt(frequencyHz);
        return response;
    }

    /// <summary>A state at rest, for one channel.</summary>
    public FilterState NewState() => new(this);

    /// <summary>One block of a channel: y = b0·x + b1·x₋₁ + b2·x₋₂ − a1·y₋₁ − a2·y₋₂ in every section. Allocates nothing.</summary>
    /// <param name="samples">The next samples; all finite; may be empty.</param>
    /// <param name="output">Receives as many samples; the same memory as the samples, or memory apart from it.</param>
    /// <param name="state">What the channel left behind; made by this cascade; changed.</param>
    /// <exception cref="ArgumentException">Lengths differ, the spans overlap shifted, a sample is not finite, or the state belongs to another cascade.</exception>
    /// <remarks>How a signal is cut into blocks changes nothing. Source: transposed direct form II, Oppenheim and Schafer, 3rd ed. 2010, section 6.3.</remarks>
    public void Run(ReadOnlySpan<double> samples, Span<double> output, FilterState state)
    {
        ArgumentNullException.ThrowIfNull(state);
        FilterSpans.Check(samples, output);
        if (!ReferenceEquals(state.Owner, this)) throw new ArgumentException("The state belongs to another cascade; make one with NewState().", nameof(state));
        samples.CopyTo(output);
        RunInPlace(output, state.Memory);
    }

    /// <summary>The whole signal after the filter, from rest.</summary>
    /// <param name="samples">At least one sample, all finite. What goes before is silence.</param>
    /// <returns>As many samples, owned by the caller; what rings on after the end is cut off.</returns>
    /// <exception cref="ArgumentException">No sample, or one that is not finite.</exception>
    /// <remarks>Delays the signal by the filter's group delay. Source as for <see cref="Run"/>.</remarks>
    public double[] Causal(ReadOnlySpan<double> samples)
    {
        FilterSpans.CheckSignal(samples);
        var result = samples.ToArray();
        RunInPlace(result, new double[2 * _sections.Length]);
        return result;
    }

    /// <summary>The filter run backwards in time: same levels, the ringing goes before the sound instead of behind it.</summary>
    /// <param name="samples">At least one sample, all finite. What follows is silence.</param>
    /// <returns>As many samples, owned by the caller, in their usual order; what rings before the start is cut off.</returns>
    /// <exception cref="ArgumentException">No sample, or one that is not finite.</exception>
    /// <remarks>
    /// For decay work: decays down to B·T = 4 survive it, 16 forwards. Onsets are smeared. Source: F. Jacobsen and J. H. Rindel, J. Sound Vib. 117 (1987) 187–190.
    /// </remarks>
    public double[] TimeReversed(ReadOnlySpan<double> samples)
    {
        FilterSpans.CheckSignal(samples);
        var result = samples.ToArray();
        Array.Reverse(result);
        RunInPlace(result, new double[2 * _sections.Length]);
        Array.Reverse(result);
        return result;
    }

    /// <summary>Forwards and then backwards: |H|², no delay. The signal is taken to lie in silence on both sides, and its ringing after the end is kept until it is forgotten.</summary>
    /// <param name="samples">At least one sample, all finite.</param>
    /// <returns>As many samples, owned by the caller.</returns>
    /// <exception cref="ArgumentException">No sample, or one that is not finite.</exception>
    /// <exception cref="InvalidOperationException">A pole so close to the unit circle that the filter rings for more than 2^26 samples, or for ever.</exception>
    /// <remarks>
    /// Every attenuation counts twice: a corner at −3 dB is at −6 dB. Rings before and behind. Source: Oppenheim and Schafer, 3rd ed. 2010, problem 5.63 (zero-phase filtering).
    /// </remarks>
    public double[] ZeroPhase(ReadOnlySpan<double> samples)
    {
        FilterSpans.CheckSignal(samples);
        var padded = new double[checked(samples.Length + TailSamples())];
        samples.CopyTo(padded);
        RunInPlace(padded, new double[2 * _sections.Length]);
        Array.Reverse(padded);
        RunInPlace(padded, new double[2 * _sections.Length]);
        Array.Reverse(padded);
        return padded[..samples.Length];
    }

    /// <summary>Samples after which the slowest pole has fallen below the rounding, and once more for repeated poles.</summary>
    private int TailSamples()
    {
        var radius = 0.0;
        foreach (var section in _sections)
        {
            var discriminant = section.A1 * section.A1 / 4 - section.A2;
            radius = Math.Max(radius, discriminant < 0 ? Math.Sqrt(section.A2) : Math.Abs(section.A1 / 2) + Math.Sqrt(discriminant));
        }
        if (radius == 0) return 2 * _sections.Length;
        var tail = 1.5 * Math.Log(Forgotten) / Math.Log(radius) + 2 * _sections.Length;
        if (!(tail >= 0 && tail <= LongestTailSamples))
            throw new InvalidOperationException($"The filter rings for {tail:G3} samples; zero-phase use needs at most {LongestTailSamples}.");
        return (int)Math.Ceiling(tail);
    }

    private void RunInPlace(Span<double> samples, Span<double> memory)
    {
        for (var k = 0; k < _sections.Length; k++)
        {
            var (b0, b1, b2, a1, a2) = (_sections[k].B0, _sections[k].B1, _sections[k].B2, _sections[k].A1, _sections[k].A2);
            var (first, second) = (memory[2 * k], memory[2 * k + 1]);
            for (var n = 0; n < samples.Length; n++)
            {
                var x = samples[n];
                var y = b0 * x + first;
                first = b1 * x - a1 * y + second;
                second = b2 * x - a2 * y;
                samples[n] = y;
                if (Math.Abs(first) < Inaudible && Math.Abs(second) < Inaudible) (first, second) = (0, 0);
            }
            (memory[2 * k], memory[2 * k + 1]) = (first, second);
        }
    }

    private static FilterCascade Twice(FilterCascade once) => once.Then(once);

    private static int Half(int order) => order is >= 2 and <= 16 && order % 2 == 0
        ? order / 2
        : throw new ArgumentOutOfRangeException(nameof(order), order, "Must be even and in [2, 16].");
}
