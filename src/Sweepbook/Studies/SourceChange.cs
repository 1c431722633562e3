// SPDX-License-Identifier: MIT
using MathNet.Numerics.Statistics;
using Sweepbook.Seats;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>What changed about one source, over all its places.</summary>
internal sealed class SourceChange
{
    private const int NeighboursOfSeveral = 2, NeighboursOfOne = 3;   // see ChangeFindings
    private readonly IReadOnlyList<SeatChange> _bands;
    private readonly int _places;
    private readonly bool _isShape;

    internal SourceChange(string name, IReadOnlyList<ChangePair> pairs, StudyComparison comparison)
    {
        (Name, _places, _isShape) = (name, pairs.Count, pairs.All(pair => pair.WhyShapeOnly is not null));
        var rows = comparison.Changes.Where(row => row.Source == name && row.Quantity is ChangedQuantity.Level or ChangedQuantity.Shape).GroupBy(row => (row.Seat, row.Microphone)).ToList();
        var changed = rows.Select(place => (place.Key.Seat, Bands: Believed([.. place], NeighboursOfSeveral))).Where(place => place.Bands.Count > 0).ToList();
        if (changed.Count == 1 && rows.Count > 1) changed = [.. rows.Select(place => (place.Key.Seat, Bands: Believed([.. place], NeighboursOfOne))).Where(place => place.Bands.Count > 0)];
        Seats = [.. changed.Select(place => place.Seat)];
        _bands = [.. changed.SelectMany(place => place.Bands)];
    }

    internal string Name { get; }

    /// <summary>Where it changed.</summary>
    internal IReadOnlyList<string> Seats { get; }

    /// <summary>"sub-rear changed by −3.0 dB at 5 of 5 seats from 25 to 125 Hz".</summary>
    internal string InWords => FormattableString.Invariant(
        $"{Name} {(_isShape ? "changed its shape" : $"is {How}")} at {Seats.Count} of {ChangeFindings.Number(_places, Seats[0].Length > 0 ? "seat" : "place")} from {Band}");

    internal Finding Finding
    {
        get
        {
            var most = _bands.MaxBy(band => Math.Abs(band.Difference));
            return new("level-change-of-source", Severity.Note, Name, _bands.Select(band => band.Difference).Median(), "dB", FormattableString.Invariant(
                $"{Name}: {_bands.Count(band => band.Difference < 0)} third octaves are weaker and {_bands.Count(band => band.Difference > 0)} louder than before at {StudyFindings.Listed(Seats.Select(seat => seat.Length > 0 ? seat : "its place").Distinct())} (median {ChangeFindings.Signed(_bands.Select(band => band.Difference).Median())} dB), most of all {most.Label} Hz{(most.Seat.Length > 0 ? $" at {most.Seat}" : "")}: {ChangeFindings.Signed(most.Difference)} dB, of which ± {most.Limit:0.0} dB are explained otherwise."));
        }
    }

    private string Band => new TrustedBand(_bands.Min(band => band.FromHz), _bands.Max(band => band.ToHz), default, default).Words;

    private string How
    {
        get
        {
            var (weaker, louder, median) = (_bands.Count(band => band.Difference < 0), _bands.Count(band => band.Difference > 0), _bands.Select(band => band.Difference).Median());
            return weaker > 0 && louder > 0 && Math.Min(weaker, louder) > _bands.Count / 10
                ? FormattableString.Invariant($"up to {_bands.Max(band => band.Difference):0.0} dB louder and {-_bands.Min(band => band.Difference):0.0} dB weaker")
                : FormattableString.Invariant($"{Math.Abs(median):0.0} dB {(median < 0 ? "weaker" : "louder")} (median)");
        }
    }

    /// <summary>Significant bands in runs that changed the same way, each at least so long or as long as there are bands.</summary>
    private static List<SeatChange> Believed(IReadOnlyList<SeatChange> bands, int least)
    {
        var ordered = bands.OrderBy(band => band.FromHz).ToList();
        var (believed, run) = (new List<SeatChange>(), new List<SeatChange>());
        foreach (var band in ordered.Append(default))
        {
            if (run.Count > 0 && !(band.IsSignificant && Math.Sign(band.Difference) == Math.Sign(run[0].Difference) && Math.Abs(band.FromHz / run[^1].ToHz - 1) < 1e-6))
            {
                if (run.Count >= Math.Min(least, ordered.Count)) believed.AddRange(run);
                run.Clear();
            }
            if (band.IsSignificant) run.Add(band);
        }
        return believed;
    }
}
