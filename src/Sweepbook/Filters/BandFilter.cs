// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Filters;

/// <summary>A filter for an octave or 1/b-octave band that keeps the class 1 limits of IEC 61260-1:2014, for one sample rate: in every use.</summary>
/// <remarks>
/// One pass is a Butterworth band-pass of three pole pairs with its −3 dB points at the band's edges (fact sheet 1.8). Run both ways that would have
/// 6.02 dB there and fail, so zero-phase use has a filter of its own: two pole pairs, wider, so that both passes together let through just as much
/// white noise as an ideal band. Close to half the sample rate, where the bilinear transform squeezes the shape, the first higher order that keeps
/// the limits by 0.05 dB is taken. Breakpoints at or above half the rate have no signal and no meaning. Outside the signal lies silence.
/// </remarks>
public sealed class BandFilter
{
    private const double HighestEdgeRatio = 0.45;
    private const double OwnRateOverEdge = 5;
    private const int HighestOrder = 10;
    private const int LeastRateHz = 1;
    private const double LeastMarginDb = 0.05;   // not on the very line

    private readonly BandDesign _causal, _zeroPhase;
    private readonly PoleSumKernel _once, _onward, _back;

    private BandFilter(FrequencyBand band, int sampleRateHz, int halvings)
    {
        (Band, SampleRateHz, Halvings) = (band, sampleRateHz, halvings);
        _causal = Design(firstOrder: 3, passes: 1);
        _zeroPhase = Design(firstOrder: 2, passes: 2);
        _once = new(_causal.Poles.Once());
        _onward = new(_zeroPhase.Poles.Twice());
        _back = _onward.WithoutFirst();
    }

    /// <summary>The band.</summary>
    public FrequencyBand Band { get; }

    /// <summary>Sample rate of the signals that go in, in hertz.</summary>
    public int SampleRateHz { get; }

    /// <summary>Sample rate of the signals that come out, in hertz: that of the input, or a fraction of it after <see cref="AtOwnRate"/>.</summary>
    public double OutputRateHz => (double)SampleRateHz / (1 << Halvings);

    internal int Halvings { get; }

    /// <summary>The filter of a band.</summary>
    /// <param name="band">Any band whose upper edge lies below 0.45 · sample rate.</param>
    /// <param name="sampleRateHz">Sample rate in hertz, above zero.</param>
    /// <returns>The filter; signals come out at the rate at which they go in.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The band is no band or reaches too high, or the rate is not above zero.</exception>
    /// <exception cref="InvalidOperationException">No filter up to the order 10 keeps the limits; between 16 Hz and 0.45 · rate no such band is known.</exception>
    /// <remarks>Source: IEC 61260-1:2014; see the class.</remarks>
    public static BandFilter Of(FrequencyBand band, int sampleRateHz)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(sampleRateHz, LeastRateHz);
        if (band.BandsPerOctave < 1)
            throw new ArgumentOutOfRangeException(nameof(band), band, $"It has {band.BandsPerOctave} bands per octave; must be in [1, ∞).");
        if (!(band.LowerHz > 0 && band.UpperHz < HighestEdgeRatio * sampleRateHz))
            throw new ArgumentOutOfRangeException(nameof(band), band,
                $"Its upper edge is {band.UpperHz:G6} Hz; must be in (0, {HighestEdgeRatio * sampleRateHz:G6}) Hz, 0.45 of the sample rate.");
        return new(band, sampleRateHz, 0);
    }

    /// <summary>The third-octave filter whose band contains a frequency.</summary>
    /// <param name="frequencyHz">The band's nominal frequency in hertz, or any other inside it.</param>
    /// <param name="sampleRateHz">Sample rate in hertz, above zero.</param>
    /// <returns>The filter.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An argument is outside its interval, or the band reaches above 0.45 · sample rate.</exception>
    /// <remarks>Source: IEC 61260-1:2014; see the class.</remarks>
    public static BandFilter ThirdOctave(double frequencyHz, int sampleRateHz) => Of(FrequencyBand.ThirdOctaveAt(frequencyHz), sampleRateHz);

    /// <summary>The same band with its signals at a lower rate: the input's, halved as long as it stays at least five times the band's upper edge.</summary>
    /// <returns>A filter whose results are shorter and quicker to make; its class 1 check includes the halving and what it folds back.</returns>
    /// <remarks>Sample n of a result is at n / <see cref="OutputRateHz"/>, with no delay. Levels stay; a sum of squares is smaller by the ratio of rates.</remarks>
    public BandFilter AtOwnRate()
    {
        var halvings = 0;
        while (SampleRateHz / (double)(2 << halvings) >= OwnRateOverEdge * Band.UpperHz) halvings++;
        return new(Band, SampleRateHz, halvings);
    }

    /// <summary>The signal of the band, forwards: delayed by the filter, as an instrument would show it.</summary>
    /// <param name="samples">At least one sample, all finite.</param>
    /// <returns>One sample per input sample, or per 2ᵏ of them at the own rate; the unit stays.</returns>
    /// <exception cref="ArgumentException">No sample, or one that is not finite.</exception>
    /// <remarks>Decays shorter than 16 / bandwidth are those of the filter (fact sheet 4.5). Source: see the class.</remarks>
    public double[] Causal(ReadOnlySpan<double> samples) => Of(samples, FilterUse.Causal);

    /// <summary>The signal of the band, filtered backwards in time: for decays.</summary>
    /// <param name="samples">At least one sample, all finite.</param>
    /// <returns>As for <see cref="Causal"/>, in the usual order of time.</returns>
    /// <exception cref="ArgumentException">No sample, or one that is not finite.</exception>
    /// <remarks>Decays down to 4 / bandwidth survive (ISO 3382-2:2008, 7.3; fact sheet 4.5); onsets are smeared towards earlier times.</remarks>
    public double[] TimeReversed(ReadOnlySpan<double> samples) => Of(samples, FilterUse.TimeReversed);

    /// <summary>The signal of the band with no delay: for levels, and wherever bands are compared in time.</summary>
    /// <param name="samples">At least one sample, all finite.</param>
    /// <returns>As for <see cref="Causal"/>. It is the middle of an infinitely long result: what rings beyond the ends is computed, then left out.</returns>
    /// <exception cref="ArgumentException">No sample, or one that is not finite.</exception>
    /// <remarks>Rings before and behind, each as long as <see cref="RingingSeconds"/> says. Source: see the class.</remarks>
    public double[] ZeroPhase(ReadOnlySpan<double> samples) => Of(samples, FilterUse.ZeroPhase);

    /// <summary>The signal of the band into memory of the caller, at the rate of the input: allocates nothing.</summary>
    /// <param name="samples">At least one sample, all finite.</param>
    /// <param name="output">Receives as many samples; separate memory.</param>
    /// <param name="use">The way to go over the signal.</param>
    /// <exception cref="ArgumentException">No sample, one that is not finite, lengths that differ, or spans that overlap.</exception>
    /// <exception cref="InvalidOperationException">The filter works at its own rate, where results have another length.</exception>
    /// <remarks>As for the method of that use.</remarks>
    public void Run(ReadOnlySpan<double> samples, Span<double> output, FilterUse use)
    {
        if (Halvings > 0) throw new InvalidOperationException("A filter at its own rate gives results of another length; call the method of the use.");
        FilterSpans.CheckSignal(samples);
        if (output.Length != samples.Length) throw new ArgumentException($"Got room for {output.Length} samples; must be {samples.Length}.", nameof(output));
        if (samples.Overlaps(output)) throw new ArgumentException("The output overlaps the samples; must be separate memory.", nameof(output));
        RunAtRate(samples, output, use);
    }

    /// <summary>The attenuation in a use: −20·lg of output over input for a steady sine, with both passes and with the halving of the rate where there is one.</summary>
    /// <param name="frequencyHz">Frequency of the sine in hertz, in (0, sample rate / 2).</param>
    /// <param name="use">The way to go over the signal.</param>
    /// <returns>Decibels, 0 at the centre; above half of the own rate it is that of the folded tone.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Outside the interval, or no use at all.</exception>
    /// <remarks>Source: the definition of relative attenuation in IEC 61260-1:2014, the reference attenuation being 0 dB.</remarks>
    public double AttenuationDb(double frequencyHz, FilterUse use) => frequencyHz > 0 && frequencyHz < SampleRateHz / 2.0
        ? DesignOf(use).AttenuationDb(frequencyHz)
        : throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, $"Must be in (0, {SampleRateHz / 2.0}) Hz.");

    /// <summary>How far the attenuation stays within the class 1 limits, at the worst place below half the sample rate.</summary>
    /// <param name="use">The way to go over the signal.</param>
    /// <returns>Decibels, at least 0.05: every breakpoint and the lines between are checked when the filter is made.</returns>
    /// <exception cref="ArgumentOutOfRangeException">No use at all.</exception>
    /// <remarks>At the band's centre the limits leave 0.4 dB, so there is never more. Source: IEC 61260-1:2014, Table 1 (fact sheet 1.4–1.6).</remarks>
    public double Class1MarginDb(FilterUse use) => DesignOf(use).MarginDb;

    /// <summary>Effective bandwidth: the width of an ideal band that lets through as much white noise, ∫ |H|² df.</summary>
    /// <param name="use">The way to go over the signal.</param>
    /// <returns>Hertz; 1.05 times the nominal width for one pass of third order, 1.00 for zero-phase use.</returns>
    /// <exception cref="ArgumentOutOfRangeException">No use at all.</exception>
    /// <remarks>White noise only; a sloping spectrum weighs the skirts differently. Source: the definition.</remarks>
    public double EffectiveBandwidthHz(FilterUse use) => DesignOf(use).BandwidthHz(overFrequency: false);

    /// <summary>Integrated response: 10·lg of the effective over the ideal width on a logarithmic axis, so what pink noise reads too high.</summary>
    /// <param name="use">The way to go over the signal.</param>
    /// <returns>Decibels; class 1 allows ±0.4.</returns>
    /// <exception cref="ArgumentOutOfRangeException">No use at all.</exception>
    /// <remarks>The limit is quoted from memory of IEC 61260-1:2014 (fact sheet 1.10), not read there.</remarks>
    public double IntegratedResponseDb(FilterUse use) =>
        Decibels.FromPower(DesignOf(use).BandwidthHz(overFrequency: true) / Math.Log(Band.UpperHz / Band.LowerHz));

    /// <summary>Ringing time: how long the filter itself takes to decay by 60 dB, ln 1000 over the decay rate of its slowest pole.</summary>
    /// <param name="use">The way to go over the signal: behind a sound, before it, or both.</param>
    /// <returns>Seconds. Decays of the signal near or below it cannot be told from the filter's on the side on which it rings.</returns>
    /// <exception cref="ArgumentOutOfRangeException">No use at all.</exception>
    /// <remarks>The onset of ringing is rounder than this line. Source: the closed form of a decaying exponential.</remarks>
    public double RingingSeconds(FilterUse use) =>
        Math.Log(1000) / (DesignOf(use).Poles.SlowestDecayPerSample * OutputRateHz);

    /// <summary>The filter of one pass as sections with coefficients, for signals that come in blocks (at the input's rate).</summary>
    /// <returns>The cascade; its states are made by <see cref="FilterCascade.NewState"/>.</returns>
    /// <remarks>The same response as causal use. Source: see the class.</remarks>
    public FilterCascade ToCascade() => FilterCascade.Of(new BandDesign(Band, SampleRateHz, 0, _causal.Order, 1).Poles.Sections());

    internal double[] Of(ReadOnlySpan<double> samples, FilterUse use)
    {
        FilterSpans.CheckSignal(samples);
        for (var k = 0; k < Halvings; k++) samples = HalfBandDecimation.Halve(samples);
        return AtRate(samples, use);
    }

    internal double[] AtRate(ReadOnlySpan<double> samples, FilterUse use)
    {
        var result = GC.AllocateUninitializedArray<double>(samples.Length);
        RunAtRate(samples, result, use);
        return result;
    }

    private void RunAtRate(ReadOnlySpan<double> samples, Span<double> output, FilterUse use)
    {
        switch (use)
        {
            case FilterUse.Causal: _once.Forward(samples, output); break;
            case FilterUse.TimeReversed: _once.Backward(samples, output); break;
            case FilterUse.ZeroPhase:
                _onward.Forward(samples, output);
                _back.Backward(samples, output, isAdded: true);
                break;
            default: throw Unknown(use);
        }
    }

    private BandDesign DesignOf(FilterUse use) => use switch
    {
        FilterUse.Causal or FilterUse.TimeReversed => _causal,
        FilterUse.ZeroPhase => _zeroPhase,
        _ => throw Unknown(use),
    };

    private static ArgumentOutOfRangeException Unknown(FilterUse use) => new(nameof(use), use, "Must be Causal, TimeReversed or ZeroPhase.");

    private BandDesign Design(int firstOrder, int passes)
    {
        for (var order = firstOrder; order <= HighestOrder; order++)
        {
            var design = new BandDesign(Band, SampleRateHz, Halvings, order, passes);
            if (design.MarginDb >= LeastMarginDb) return design;
        }
        throw new InvalidOperationException($"No filter keeps the class 1 limits for {Band} at {SampleRateHz} Hz: such a band is not supported yet.");
    }
}
