// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Filters;

/// <summary>Band filters side by side, for one sample rate.</summary>
public sealed class FilterBank
{
    private readonly BandFilter[] _filters;

    private FilterBank(IEnumerable<BandFilter> filters) => _filters = [.. filters];

    /// <summary>The filters, in the order of their bands.</summary>
    public IReadOnlyList<BandFilter> Filters => _filters;

    /// <summary>The filters of the given bands.</summary>
    /// <param name="bands">At least one band; every upper edge below 0.45 · sample rate.</param>
    /// <param name="sampleRateHz">Sample rate in hertz, above zero.</param>
    /// <returns>The bank; signals come out at the rate at which they go in.</returns>
    /// <exception cref="ArgumentException">No band.</exception>
    /// <exception cref="ArgumentOutOfRangeException">A band reaches too high, or the rate is not above zero.</exception>
    /// <remarks>Source: as for <see cref="BandFilter"/>.</remarks>
    public static FilterBank Of(IReadOnlyList<FrequencyBand> bands, int sampleRateHz)
    {
        ArgumentNullException.ThrowIfNull(bands);
        return bands.Count > 0
            ? new(bands.Select(band => BandFilter.Of(band, sampleRateHz)))
            : throw new ArgumentException("Got 0 bands; must be at least 1.", nameof(bands));
    }

    /// <summary>The third-octave filters between two nominal frequencies, both included.</summary>
    /// <param name="fromHz">Nominal frequency of the first band, in hertz, above zero.</param>
    /// <param name="toHz">Nominal frequency of the last band, in hertz, at least the first.</param>
    /// <param name="sampleRateHz">Sample rate in hertz, above zero.</param>
    /// <returns>The bank.</returns>
    /// <exception cref="ArgumentException">An argument is outside its interval, or no band lies between.</exception>
    /// <remarks>Source: as for <see cref="BandFilter"/>.</remarks>
    public static FilterBank ThirdOctaves(double fromHz, double toHz, int sampleRateHz) => Of(FrequencyBand.ThirdOctaves(fromHz, toHz), sampleRateHz);

    /// <summary>The octave filters between two nominal frequencies, both included.</summary>
    /// <inheritdoc cref="ThirdOctaves"/>
    public static FilterBank Octaves(double fromHz, double toHz, int sampleRateHz) => Of(FrequencyBand.Octaves(fromHz, toHz), sampleRateHz);

    /// <summary>The same bands, each with its signal at a rate that suits it: see <see cref="BandFilter.AtOwnRate"/>.</summary>
    /// <returns>The bank. What its bands have in common is halved once for all of them.</returns>
    /// <remarks>Four to five times less work and memory than at the full rate.</remarks>
    public FilterBank AtOwnRates() => new(_filters.Select(filter => filter.AtOwnRate()));

    /// <summary>The signals of all bands, with no delay.</summary>
    /// <param name="samples">At least one sample, all finite.</param>
    /// <returns>One signal per band.</returns>
    /// <exception cref="ArgumentException">No sample, or one that is not finite.</exception>
    /// <remarks>As for <see cref="BandFilter.ZeroPhase"/>.</remarks>
    public IReadOnlyList<BandSignal> Of(ReadOnlySpan<double> samples) => Of(samples, FilterUse.ZeroPhase);

    /// <summary>The signals of all bands, filtered backwards in time: for decays.</summary>
    /// <inheritdoc cref="Of(ReadOnlySpan{double})"/>
    public IReadOnlyList<BandSignal> TimeReversed(ReadOnlySpan<double> samples) => Of(samples, FilterUse.TimeReversed);

    /// <summary>The signals of all bands, forwards, each with its filter's delay.</summary>
    /// <inheritdoc cref="Of(ReadOnlySpan{double})"/>
    public IReadOnlyList<BandSignal> Causal(ReadOnlySpan<double> samples) => Of(samples, FilterUse.Causal);

    private BandSignal[] Of(ReadOnlySpan<double> samples, FilterUse use)
    {
        FilterSpans.CheckSignal(samples);
        var halved = new double[_filters.Max(filter => filter.Halvings)][];
        for (var k = 0; k < halved.Length; k++) halved[k] = HalfBandDecimation.Halve(k == 0 ? samples : halved[k - 1]);
        var signals = new BandSignal[_filters.Length];
        for (var k = 0; k < signals.Length; k++)
        {
            var filter = _filters[k];
            signals[k] = new(filter, filter.AtRate(filter.Halvings == 0 ? samples : halved[filter.Halvings - 1], use));
        }
        return signals;
    }
}
