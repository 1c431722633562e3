// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Surveys;

/// <summary>What a source is; it decides which analyses make sense.</summary>
public enum SourceKind
{
    /// <summary>Low frequencies only.</summary>
    Subwoofer,

    /// <summary>Full band, or all but the lowest frequencies.</summary>
    Loudspeaker,

    /// <summary>One cone, measured close to it.</summary>
    Cone,

    /// <summary>One port, measured at its mouth.</summary>
    Port,

    /// <summary>A cone without a motor that the air in the box drives, measured close to it.</summary>
    PassiveRadiator,
}

/// <summary>What can be driven: a subwoofer, a loudspeaker, one cone, one port.</summary>
public sealed record Source
{
    /// <summary>Its name in files and tables.</summary>
    public required string Id { get; init; }

    /// <summary>What it is.</summary>
    public required SourceKind Kind { get; init; }

    /// <summary>Where it stands, or null.</summary>
    public Position? Position { get; init; }

    /// <summary>Effective area of one cone or port in cm², also where the survey states its effective diameter; or null.</summary>
    public double? AreaCm2 { get; init; }

    /// <summary>Where its centre lies on the front of its box, from the left edge in metres; or null.</summary>
    public double? FromLeftMetres { get; init; }

    /// <summary>Where its centre lies on the front of its box, from the lower edge in metres; or null.</summary>
    public double? FromBottomMetres { get; init; }

    /// <summary>How many equal cones or ports play together.</summary>
    public int Count { get; init; } = 1;

    /// <summary>Name of the box that cone and port share, or null.</summary>
    public string? PartOf { get; init; }

    /// <summary>Name of the source for which this is one of several places tried, or null.</summary>
    public string? CandidateOf { get; init; }

    /// <summary>Where the survey declares it, counted from 1.</summary>
    public int Line { get; init; }
}

/// <summary>A microphone position that a listener cares about, or any named position.</summary>
public sealed record Seat
{
    /// <summary>Its name in files and tables.</summary>
    public required string Id { get; init; }

    /// <summary>Where it is, or null.</summary>
    public Position? Position { get; init; }

    /// <summary>How much it counts in means over seats; 1 where nothing is stated, 0 for "look only".</summary>
    public double Weight { get; init; } = 1;

    /// <summary>Where the survey declares it, counted from 1.</summary>
    public int Line { get; init; }
}
