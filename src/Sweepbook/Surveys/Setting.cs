// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Surveys;

/// <summary>The state of the system while a take was made.</summary>
/// <remarks>
/// In the survey, <c>gain_db</c>, <c>delay_ms</c>, <c>polarity</c> and <c>filters</c> hold one value for every source, or a table by source id;
/// here they are always by source. A source that is absent was left as it was. Own convention (design, survey folder); it needs no source.
/// </remarks>
public sealed class Setting
{
    /// <summary>The id of the setting that needs no declaration.</summary>
    public const string AsFoundId = "as-found";

    /// <summary>Its name in files and tables.</summary>
    public required string Id { get; init; }

    /// <summary>What was changed, in words; empty where nothing is said.</summary>
    public string Note { get; init; } = "";

    /// <summary>Gain in decibels by source id.</summary>
    public IReadOnlyDictionary<string, double> GainDb { get; init; } = new Dictionary<string, double>();

    /// <summary>Delay in milliseconds by source id.</summary>
    public IReadOnlyDictionary<string, double> DelayMs { get; init; } = new Dictionary<string, double>();

    /// <summary>Ids of the sources whose polarity was turned round.</summary>
    public IReadOnlyList<string> InvertedSources { get; init; } = [];

    /// <summary>Filters in force by source id.</summary>
    public IReadOnlyDictionary<string, IReadOnlyList<FilterSetting>> Filters { get; init; } = new Dictionary<string, IReadOnlyList<FilterSetting>>();

    /// <summary>Where the survey declares it, counted from 1; 1 for <see cref="AsFoundId"/> where it is not declared.</summary>
    public int Line { get; init; } = 1;
}
