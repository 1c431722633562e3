// SPDX-License-Identifier: MIT
namespace Sweepbook.Filters;

/// <summary>How a filter goes over a signal.</summary>
public enum FilterUse
{
    /// <summary>Forwards in time, as an instrument does.</summary>
    Causal,

    /// <summary>Backwards in time: the filter's ringing goes before the sound and leaves short decays alone.</summary>
    TimeReversed,

    /// <summary>Both ways, with no delay: the attenuation is that of both passes together.</summary>
    ZeroPhase,
}
