// SPDX-License-Identifier: MIT
using Sweepbook.Decay;
using Sweepbook.Quantities;
using Xunit;

namespace Sweepbook.Tests.Decay;

public sealed class DecayMeansTests
{
    private const double HalfPercent = 0.005;   // the promise for deterministic envelopes
    private static readonly IReadOnlyList<FrequencyBand> Octaves = FrequencyBand.Octaves(1000, 2000);

    private static BandDecays Place(double t60, ulong seed, double noiseBelowDb = 70, double gain = 1) =>
        Decaying.Response([.. Decaying.WithNoise(Decaying.NoiseLike(t60, 2 * t60, seed), noiseBelowDb, seed + 50).Select(x => gain * x)]).Decays(Octaves);

    [Fact]
    public void The_arithmetic_mean_is_that_of_the_figures()
    {
        BandDecays[] places = [Place(0.4, 1), Place(0.5, 2), Place(0.6, 3)];
        var mean = BandDecays.ArithmeticMean(places);
        foreach (var quantity in Enum.GetValues<DecayQuantity>())
        {
            var values = places.Select(place => place.At(1000)[quantity]).ToList();
            Assert.Equal(values.Average(value => value.Value), mean.At(1000)[quantity].Value, 1e-12);
            Assert.Equal(Math.Sqrt(values.Sum(value => value.Uncertainty * value.Uncertainty)) / 3, mean.At(1000)[quantity].Uncertainty, 1e-12);
            Assert.Equal(values.Min(value => value.RangeDb), mean.At(1000)[quantity].RangeDb, 1e-12);
        }
        Assert.Equal(0, mean.At(1000).Curve.Count);
        Assert.Equal(100 * (mean.At(1000).T30.Value / mean.At(1000).T20.Value - 1), mean.At(1000).T30.CurvaturePercent, 1e-9);
    }

    [Fact]
    public void A_place_without_a_figure_is_left_out_of_the_mean_and_counted()
    {
        BandDecays[] places = [Place(0.4, 1), Place(0.5, 2, noiseBelowDb: 40), Place(0.6, 3)];
        var mean = BandDecays.ArithmeticMean(places).At(1000);
        Assert.Equal((places[0].At(1000).T30.Value + places[2].At(1000).T30.Value) / 2, mean.T30.Value, 1e-12);
        Assert.Equal("part: the mean of 2 of 3 places", mean.T30.Reason);
        Assert.True(double.IsNaN(mean.T30.CurvaturePercent));   // not the same places
        Assert.DoesNotContain("part", mean.T20.Reason);
        var none = BandDecays.ArithmeticMean([places[1], places[1]]).At(1000).T30;
        Assert.False(none.IsValid);
        Assert.Matches(@"^range .*given at none", none.Reason);
    }

    [Fact]
    public void The_ensemble_mean_of_equal_decays_is_that_decay_with_less_scatter()
    {
        BandDecays[] places = [.. Enumerable.Range(1, 9).Select(seed => Place(0.5, (ulong)seed, gain: seed))];
        var (mean, one) = (BandDecays.EnsembleMean(places).At(1000), places[0].At(1000));
        Assert.Equal(0.5, mean.T30.Value, 4 * mean.T30.Uncertainty);
        Assert.Equal(one.T30.Uncertainty / 3 * Math.Sqrt(mean.T30.Value / one.T30.Value), mean.T30.Uncertainty, 1e-9);
        Assert.Equal(one.C50.Value, BandDecays.EnsembleMean([places[0]]).At(1000).C50.Value, 1e-9);
        Assert.Equal(one.Ts.Value, BandDecays.EnsembleMean([places[0], places[0]]).At(1000).Ts.Value, 1e-9);
    }

    /// <summary>Closed form: the energies of a damped tone of 0.5 s and of one of 1.5 s at −20 dB add to the curve of fact sheet 4.2.</summary>
    [Fact]
    public void The_ensemble_mean_adds_energies_and_not_times()
    {
        var band = FrequencyBand.Octaves(1000, 1000);
        BandDecays Tone(double t60, double curveEnergy)
        {
            // The curve of an exponential starts at p² · T/13.8155: for the curve to start at an energy, p² is that over T.
            var samples = Decaying.Exponential(t60, 3).Select((x, n) => Math.Sqrt(curveEnergy / t60) * x * Math.Sin(2 * Math.PI * 1000 * n / Decaying.RateHz)).ToArray();
            return Decaying.Response([.. new double[960], .. samples]).Decays(band);
        }

        var mean = BandDecays.EnsembleMean([Tone(0.5, 0.99), Tone(1.5, 0.01)]).At(1000);
        Assert.Equal(0.6716, mean.T30.Value, 3 * HalfPercent * 0.6716);    // the band's filter hides the first milliseconds of each
        Assert.Equal(0.5466, mean.T20.Value, 3 * HalfPercent * 0.5466);
        Assert.StartsWith("curved", mean.T30.Reason);
    }

    /// <summary>Noise 70 dB and 52 dB below two equal decays adds to noise 54.95 dB below their sum, whichever comes first.</summary>
    [Fact]
    public void The_range_of_an_ensemble_is_that_of_its_sum()
    {
        const double Decibel = 1;   // noise and late slope of single decays
        BandDecays[] places = [Place(0.4, 1), Place(0.4, 2, noiseBelowDb: 52)];
        var one = places[1].At(1000).T30.RangeDb;
        foreach (var order in new BandDecays[][] { places, [places[1], places[0]] })
            Assert.Equal(one + 10 * Math.Log10(2 / (1 + Math.Pow(10, -1.8))), BandDecays.EnsembleMean(order).At(1000).T30.RangeDb, Decibel);
    }

    [Fact]
    public void The_noises_of_all_places_add_in_an_ensemble()
    {
        const double Decibel = 0.1;
        var place = Place(0.4, 1, noiseBelowDb: 52);
        Assert.Equal(place.At(1000).T30.RangeDb, BandDecays.EnsembleMean([place, place]).At(1000).T30.RangeDb, Decibel);   // twice the sound and twice the noise
    }

    /// <summary>Many places leave less to chance: what may be chance at one is a bend when all of them show it.</summary>
    [Fact]
    public void An_ensemble_is_called_curved_where_a_single_place_may_be_so_by_chance()
    {
        var third = FrequencyBand.ThirdOctaves(250, 250);
        var place = Enumerable.Range(1, 40).Select(seed => Decaying.Response(Decaying.WithNoise(Decaying.NoiseLike(0.6, 1.5, (ulong)seed), 70, (ulong)seed + 50)).Decays(third))
            .First(decays => Math.Abs(decays[0].T30.CurvaturePercent) is > 12 and < 18);
        Assert.Equal("", place[0].T30.Reason);
        Assert.StartsWith("curved", BandDecays.EnsembleMean([.. Enumerable.Repeat(place, 30)])[0].T30.Reason);
    }

    [Fact]
    public void A_place_whose_noise_hides_its_decay_is_left_out_of_the_ensemble_and_counted()
    {
        BandDecays[] places = [Place(0.4, 1), Place(0.5, 2, noiseBelowDb: 10, gain: 10), Place(0.4, 3)];
        var (mean, others) = (BandDecays.EnsembleMean(places).At(1000), BandDecays.EnsembleMean([places[0], places[2]]).At(1000));
        Assert.All(places[1].At(1000).Values, value => Assert.False(value.IsValid));
        foreach (var quantity in Enum.GetValues<DecayQuantity>()) Assert.Equal(others[quantity].Value, mean[quantity].Value);
        Assert.StartsWith("part: the sum of 2 of 3 places", mean.T30.Reason);
        Assert.DoesNotContain("part", others.T30.Reason);
        var refused = new BandDecays(places[0].Select(decay => decay.Refused("recording: clipped")));
        Assert.StartsWith("part: the sum of 1 of 2 places", BandDecays.EnsembleMean([refused, places[2]]).At(1000).T30.Reason);
        Assert.StartsWith("range", BandDecays.EnsembleMean([refused, places[1]]).At(1000).T30.Reason);
        Assert.StartsWith("recording", BandDecays.EnsembleMean([refused, refused]).At(1000).T30.Reason);
    }

    [Fact]
    public void Loud_places_weigh_more_in_the_ensemble_and_not_in_the_arithmetic_mean()
    {
        var (loud, quiet) = (Place(0.4, 1, gain: 10), Place(0.8, 2));
        Assert.InRange(BandDecays.EnsembleMean([loud, quiet]).At(1000).T20.Value, 0.35, 0.48);
        Assert.InRange(BandDecays.ArithmeticMean([loud, quiet]).At(1000).T20.Value, 0.55, 0.65);
    }

    [Fact]
    public void Places_that_cannot_be_compared_are_refused_with_words()
    {
        Assert.Contains("at least 1", Assert.Throws<ArgumentException>("places", () => BandDecays.ArithmeticMean([])).Message);
        var other = Decaying.Response(Decaying.NoiseLike(0.5, 1, 1)).Decays(FrequencyBand.Octaves(500, 1000));
        Assert.Contains("different bands", Assert.Throws<ArgumentException>("places", () => BandDecays.EnsembleMean([Place(0.5, 1), other])).Message);
        var slow = Decaying.Response(Decaying.NoiseLike(0.5, 1, 1, 44_100), 44_100).Decays(Octaves);
        Assert.Contains("different sample rates", Assert.Throws<ArgumentException>("places", () => BandDecays.EnsembleMean([Place(0.5, 1), slow])).Message);
    }
}
