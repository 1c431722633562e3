// SPDX-License-Identifier: MIT
namespace Sweepbook.Trust;

/// <summary>The name shared by takes whose time zeros are the same: they, and only they, may be added as complex numbers.</summary>
/// <param name="Name">The group's name, or null for a take that belongs to none.</param>
public readonly record struct TimeGroup(string? Name)
{
    /// <summary>No group: nothing may be added to such a take, not even another one without a group.</summary>
    public static TimeGroup None => default;

    /// <summary>True where both belong to the same named group.</summary>
    public bool Shares(TimeGroup other) => Name is not null && Name == other.Name;

    /// <inheritdoc/>
    public override string ToString() => Name ?? "none";
}
