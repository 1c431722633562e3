// SPDX-License-Identifier: MIT
namespace Sweepbook.Quantities;

/// <summary>The outside of a loudspeaker's box: its front is width by height. A plain fact; the default is no box.</summary>
/// <param name="WidthMetres">Width of the front in metres.</param>
/// <param name="HeightMetres">Height of the front in metres.</param>
/// <param name="DepthMetres">From front to back in metres.</param>
/// <remarks>A box of other shapes is described by the box round it, and its front is then larger than it is. It needs no source.</remarks>
public readonly record struct BoxSize(double WidthMetres, double HeightMetres, double DepthMetres)
{
    /// <summary>The largest of the three, in metres.</summary>
    public double LargestMetres => Math.Max(WidthMetres, Math.Max(HeightMetres, DepthMetres));
}
