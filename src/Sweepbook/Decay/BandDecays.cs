// SPDX-License-Identifier: MIT
using System.Collections;
using System.Globalization;
using Sweepbook.Quantities;

namespace Sweepbook.Decay;

/// <summary>The decays of several bands of one response, or their mean over several places.</summary>
/// <remarks>Made by <see cref="ImpulseDecays.Decays(Impulses.ImpulseResponse, IReadOnlyList{FrequencyBand})"/>, which gives the sources.</remarks>
public sealed class BandDecays : IReadOnlyList<BandDecay>
{
    private readonly BandDecay[] _bands;

    internal BandDecays(IEnumerable<BandDecay> bands) => _bands = [.. bands];

    /// <summary>Number of bands.</summary>
    public int Count => _bands.Length;

    /// <summary>Band <paramref name="index"/>, counted from 0, in the order in which the bands were asked for.</summary>
    public BandDecay this[int index] => _bands[index];

    /// <summary>The band that is called by a frequency, or else contains it.</summary>
    /// <param name="frequencyHz">The nominal frequency in hertz, for example 63 or 1000, or any other inside the band.</param>
    /// <returns>The first such band.</returns>
    /// <exception cref="ArgumentOutOfRangeException">No band contains it.</exception>
    public BandDecay At(double frequencyHz) =>
        Array.Find(_bands, decay => decay.Band.NominalHz == frequencyHz)
        ?? Array.Find(_bands, decay => decay.Band.LowerHz <= frequencyHz && frequencyHz < decay.Band.UpperHz)
        ?? throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz,
            $"Must lie in one of the bands: {string.Join(", ", _bands.Select(decay => decay.Band.Label))} Hz.");

    /// <summary>Mean over places, the first way: each figure is the arithmetic mean of those places that have it.</summary>
    /// <param name="places">The same bands at one or more places.</param>
    /// <returns>
    /// One value per figure; its uncertainty is that of a mean of independent ones, its range the smallest that took part. A reason that begins with
    /// <c>part</c> says how many places took part where they were not all. There are no curves.
    /// </returns>
    /// <exception cref="ArgumentException">No place, or bands that differ.</exception>
    /// <remarks>
    /// Clarity in decibels is averaged in decibels. Misleads where places differ much: look at them one by one.
    /// Source: ISO 3382-1:2009 and 3382-2:2008 on spatial averaging, from memory (fact sheet 4.15).
    /// </remarks>
    public static BandDecays ArithmeticMean(IReadOnlyList<BandDecays> places) => new(DecayMeans.Columns(places).Select(DecayMeans.Arithmetic));

    /// <summary>Mean over places, the second way: the energies of all places are added from their starts on, then every figure is read once from the sum.</summary>
    /// <param name="places">The same bands, at the same sample rate, at one or more places, with levels that can be compared: one source, one drive, one gain.</param>
    /// <returns>One decay per band; loud places weigh more than quiet ones. Its uncertainty is that of independent places.</returns>
    /// <exception cref="ArgumentException">No place, or bands or sample rates that differ.</exception>
    /// <remarks>
    /// A place with less than 20 dB between start and noise is left out, and a reason that begins with <c>part</c> says so: what it would add is noise.
    /// Starts agree to within one sample of the band's own rate. Behind the end of a place its late line goes on. Misleads where the places have different
    /// decays: the sum bends. Source: ISO 3382-1:2009 and 3382-2:2008, ensemble averaging, from memory (fact sheet 4.15).
    /// </remarks>
    public static BandDecays EnsembleMean(IReadOnlyList<BandDecays> places) => new(DecayMeans.Columns(places).Select(DecayMeans.Ensemble));

    /// <inheritdoc/>
    public IEnumerator<BandDecay> GetEnumerator() => ((IEnumerable<BandDecay>)_bands).GetEnumerator();

    IEnumerator IEnumerable.GetEnumerator() => GetEnumerator();

    /// <inheritdoc/>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"decays in {Count} bands");
}
