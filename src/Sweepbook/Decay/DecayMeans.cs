// SPDX-License-Identifier: MIT
namespace Sweepbook.Decay;

/// <summary>Means over places of one band, both ways.</summary>
internal static class DecayMeans
{
    /// <summary>One list per band.</summary>
    internal static IEnumerable<BandDecay[]> Columns(IReadOnlyList<BandDecays> places)
    {
        ArgumentNullException.ThrowIfNull(places);
        if (places.Count == 0) throw new ArgumentException("Got 0 places; must be at least 1.", nameof(places));
        foreach (var place in places)
            if (!place.Select(decay => decay.Band).SequenceEqual(places[0].Select(decay => decay.Band)))
                throw new ArgumentException("The places have different bands; ask each for the same ones.", nameof(places));
        return Enumerable.Range(0, places[0].Count).Select(k => places.Select(place => place[k]).ToArray());
    }

    internal static BandDecay Arithmetic(BandDecay[] places)
    {
        var values = new DecayValue[places[0].Values.Count];
        for (var q = 0; q < values.Length; q++) values[q] = Mean([.. places.Select(place => place.Values[q])]);
        var (t20, t30) = (values[(int)DecayQuantity.T20], values[(int)DecayQuantity.T30]);
        if (t20.IsValid && t30.IsValid && places.All(place => place.T20.IsValid == place.T30.IsValid))
            foreach (var q in new[] { (int)DecayQuantity.T20, (int)DecayQuantity.T30 })
                values[q] = values[q] with { CurvaturePercent = 100 * (t30.Value / t20.Value - 1) };
        return new(places[0].Band, new([], 1, 0, 0, default), values, null);
    }

    private static DecayValue Mean(DecayValue[] places)
    {
        var valid = places.Where(value => value.IsValid).ToList();
        if (valid.Count == 0)
            return places[0].Refused(places.Length == 1 ? places[0].Reason ?? "" : $"{places[0].Reason} (at the first of {places.Length} places, and it is given at none)")
                with
            { NonlinearityPermille = double.NaN, CurvaturePercent = double.NaN };
        var curved = valid.Count(value => value.Reason?.StartsWith("curved", StringComparison.Ordinal) == true);
        var part = valid.Count == places.Length ? "" : $"part: the mean of {valid.Count} of {places.Length} places";
        var bent = curved == 0 ? "" : $"curved: at {curved} of {valid.Count} places";
        return new(places[0].Quantity, valid.Sum(value => value.Value) / valid.Count, places[0].Unit, valid.Min(value => value.RangeDb), double.NaN, double.NaN,
            part.Length > 0 && bent.Length > 0 ? $"{part}; {bent}" : part + bent)
        {
            Uncertainty = Math.Sqrt(valid.Sum(value => value.Uncertainty * value.Uncertainty)) / valid.Count,
        };
    }

    internal static BandDecay Ensemble(BandDecay[] places)
    {
        var readings = places.Where(place => place.Reading is not null).Select(place => place.Reading!).Where(reading => reading.IsClearOfNoise).ToList();
        if (readings.Count == 0) return places.OrderByDescending(place => place.Reading?.RangeDb ?? double.NegativeInfinity).First();
        var first = readings[0];
        if (readings.Exists(reading => reading.Curve.SampleRateHz != first.Curve.SampleRateHz))
            throw new ArgumentException($"The places have different sample rates in the {first.Band.Label} Hz band; resample first, or take the arithmetic mean.", nameof(places));
        var energy = new double[readings.Max(reading => reading.Curve.Count)];
        foreach (var curve in readings.Select(reading => reading.Curve))
            for (var n = 0; n < energy.Length; n++) energy[n] += curve.EnergyAt(n);
        var whole = readings.Sum(reading => reading.Curve.WholeEnergy);
        var tail = new NoiseTail(readings.Sum(reading => reading.Curve.Tail.NoisePower), readings.Sum(reading => reading.Curve.Tail.FloorPower), energy.Length,
            readings.Sum(reading => reading.Curve.WholeEnergy * reading.Curve.Tail.RatePerSample) / whole, readings.Sum(reading => reading.Curve.Tail.LinePower));
        var firstSeconds = readings.Sum(reading => reading.Curve.FirstSeconds) / readings.Count;
        var centre = readings.Sum(reading => reading.Curve.WholeEnergy * reading.CentreSeconds) / whole;
        var sum = new BandReading(first.Band, first.BandwidthHz, new(energy, first.Curve.SampleRateHz, firstSeconds, whole, tail), first.FilterDelaySeconds, centre, readings.Count);
        return readings.Count == places.Length ? sum.Read() : sum.Read().InPart($"part: the sum of {readings.Count} of {places.Length} places");
    }
}
