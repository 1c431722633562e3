// SPDX-License-Identifier: MIT
namespace Sweepbook.Trust;

/// <summary>The name shared by takes whose time zeros are the same: they, and only they, may be added as complex numbers.</summary>
/// <param name="Name">The group's name, or null for a take that belongs to none.</param>
public readonly record struct TimeGroup(string? Name)
{
    /// <summary>No group: nothing may be added to such a take, not even another one without a group.</summary>
    public static TimeGroup None => default;

    /// <summary>The survey it belongs to, by its folder: the groups of two surveys may bear one name. Null where it was made by hand.</summary>
    internal string? Survey { get; init; }

    /// <summary>True where both belong to the same named group, of one survey where both come from a survey.</summary>
    public bool Shares(TimeGroup other) => Name is not null && Name == other.Name && !IsOfAnotherSurvey(other);

    /// <summary>Groups are told apart by their names; <see cref="Shares"/> asks for the survey too.</summary>
    /// <param name="other">The other group.</param>
    public bool Equals(TimeGroup other) => Name == other.Name;

    /// <inheritdoc/>
    public override int GetHashCode() => Name is null ? 0 : StringComparer.Ordinal.GetHashCode(Name);

    /// <summary>Why responses of the two may not be added or compared in time, and what to do, in sentences; null where they may.</summary>
    /// <param name="other">The group of the other response.</param>
    public string? WhyNotWith(TimeGroup other) => WhyNotWith(other, "the first response", "the second response");

    /// <summary>The same with the two responses named.</summary>
    internal string? WhyNotWith(TimeGroup other, string thisOne, string otherOne) => (Name, other.Name) switch
    {
        (null, null) => $"No time zero is known of {thisOne} and {otherOne}, {Shift}. {Remedy("both")}",
        (null, _) => $"No time zero is known of {thisOne}, {Shift}. {Remedy("it")}",
        (_, null) => $"No time zero is known of {otherOne}, {Shift}. {Remedy("it")}",
        _ when Shares(other) => null,
        _ when IsOfAnotherSurvey(other) => $"The time zeros of {thisOne} and {otherOne} have nothing to do with each other, because the two were recorded in different surveys, {Shift}. "
            + "Record both again in one survey and one time group, or compare levels only.",
        _ => $"The time zeros of {thisOne} and {otherOne} have nothing to do with each other (time groups \"{Name}\" and \"{other.Name}\"), {Shift}. "
            + "Record both again in one time group, with the loopback or with one marker loudspeaker that nobody moves, or compare levels only.",
    };

    internal bool IsOfAnotherSurvey(TimeGroup other) => Survey is not null && other.Survey is not null && Survey != other.Survey;

    private const string Shift = "so a sum or a delay between the two would show a shift in time that is not in the room";

    private static string Remedy(string what) => $"Record {what} again with the loopback or a marker, or compare levels only.";

    /// <inheritdoc/>
    public override string ToString() => Name ?? "none";
}
