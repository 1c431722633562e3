// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Quantities;

namespace Sweepbook.Surveys;

/// <summary>Reads [[box]], the outside of a loudspeaker's box, and where a cone or a port sits on its front; and refuses what does not fit on it.</summary>
internal static class BoxReader
{
    private const double SquareCmPerSquareM = 10_000;
    private const double RoundingMetres = 1e-9;
    private static readonly TomlRange Side = new(0.02, 10, "m");
    private static readonly TomlRange OnFront = new(0, 10, "m");

    internal static IReadOnlyDictionary<string, BoxSize> Read(TomlTable root, IReadOnlyList<Source> sources)
    {
        var (boxes, tables) = (new Dictionary<string, BoxSize>(StringComparer.Ordinal), new Dictionary<string, TomlTable>(StringComparer.Ordinal));
        foreach (var table in root.Tables("box"))
        {
            table.RefuseUnknownKeys("id", "width_m", "height_m", "depth_m");
            var id = SurveyReader.Id(table, "id");
            if (!tables.TryAdd(id, table)) throw table.Fault("id", $"the box \"{id}\" is given twice, first on line {tables[id].Line}", "Give each one an id of its own.");
            boxes.Add(id, new(Measure(table, "width_m"), Measure(table, "height_m"), Measure(table, "depth_m")));
        }
        string[] parts = [.. sources.Select(source => source.PartOf).OfType<string>().Distinct(StringComparer.Ordinal)];
        foreach (var (id, table) in tables)
            if (!parts.Contains(id))
                throw table.Fault("id", $"no source is part of the box \"{id}\"", parts.Length == 0 ? $"Write part_of = \"{id}\" in the [[source]] of its cones and ports, or take the [[box]] out." : NearestName.Advice(id, parts));
        foreach (var source in sources) RefuseWhatDoesNotFit(root.File, source, boxes);
        return boxes;
    }

    internal static (double FromLeftMetres, double FromBottomMetres)? ReadBafflePosition(TomlTable table) => table.Numbers("baffle_position_m", OnFront) switch
    {
        null => null,
        [var left, var bottom] => (left, bottom),
        var numbers => throw table.Fault("baffle_position_m", $"`baffle_position_m` has {numbers.Length} number{(numbers.Length == 1 ? "" : "s")}", "Write two: the centre's distance from the left and from the lower edge of the front, in metres."),
    };

    /// <summary>A cone or a port as wide as its effective area must fit on the front, and on the place that is stated for it.</summary>
    private static void RefuseWhatDoesNotFit(string file, Source source, Dictionary<string, BoxSize> boxes)
    {
        var isOnFront = source.Kind is SourceKind.Cone or SourceKind.Port or SourceKind.PassiveRadiator;
        if (!isOnFront || source.PartOf is not { } id || !boxes.TryGetValue(id, out var box)) return;
        var name = $"the {Word(source.Kind)} \"{source.Id}\"";
        if (source.FromLeftMetres > box.WidthMetres || source.FromBottomMetres > box.HeightMetres)
            throw new DataFault(file, source.Line, FormattableString.Invariant($"{name} sits {source.FromLeftMetres} m from the left and {source.FromBottomMetres} m from below, beside the front of \"{id}\", which is {box.WidthMetres} m by {box.HeightMetres} m"),
                "Correct baffle_position_m or the size of the [[box]].");
        if (source.AreaCm2 is not { } area || source.Kind == SourceKind.Port) return;   // a port may be a slit, or fold round a corner
        var diameter = 2 * Math.Sqrt(area / SquareCmPerSquareM / Math.PI);
        double[] sides = [box.WidthMetres, box.HeightMetres, box.DepthMetres];
        Array.Sort(sides);
        var isOnTheFront = source.FromLeftMetres is not null;   // elsewhere it may be on any face: the largest face is as narrow as the middle side
        var narrowest = isOnTheFront ? Math.Min(box.WidthMetres, box.HeightMetres) : sides[1];
        if (diameter > narrowest)
            throw new DataFault(file, source.Line, FormattableString.Invariant($"{name} of {area} cm² is {1000 * diameter:0} mm wide, more than {(isOnTheFront ? "the front" : "any face")} of \"{id}\" ({1000 * narrowest:0} mm)"),
                "Correct area_cm2 (of one cone, in cm²) or the size of the [[box]], in metres.");
        if (source is not { FromLeftMetres: { } left, FromBottomMetres: { } bottom }) return;
        var toEdge = Math.Min(Math.Min(left, box.WidthMetres - left), Math.Min(bottom, box.HeightMetres - bottom));
        if (diameter / 2 > toEdge + RoundingMetres)
            throw new DataFault(file, source.Line, FormattableString.Invariant($"{name} of {area} cm² reaches {1000 * diameter / 2:0} mm from its centre, which lies {1000 * toEdge:0} mm from the edge of the front of \"{id}\""),
                "Correct baffle_position_m (from the left and from the lower edge, in metres), area_cm2 or the size of the [[box]].");
    }

    private static string Word(SourceKind kind) => kind == SourceKind.PassiveRadiator ? "passive radiator" : kind.ToString().ToLowerInvariant();

    private static double Measure(TomlTable table, string key) => table.Number(key, Side) ?? throw table.Missing(key, "the outside of the box in metres");
}
