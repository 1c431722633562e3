// SPDX-License-Identifier: MIT
namespace Sweepbook.Filters;

/// <summary>What a cascade remembers of one channel between two blocks. Make one per channel with <see cref="FilterCascade.NewState"/>.</summary>
/// <remarks>Not for two threads at a time. It starts at rest, as if silence had gone before.</remarks>
public sealed class FilterState
{
    internal FilterState(FilterCascade owner) => (Owner, Memory) = (owner, new double[2 * owner.Sections.Count]);

    internal FilterCascade Owner { get; }

    /// <summary>Two numbers per section, transposed direct form II.</summary>
    internal double[] Memory { get; }

    /// <summary>Back to rest, as if silence had gone before.</summary>
    public void Reset() => Array.Clear(Memory);
}
