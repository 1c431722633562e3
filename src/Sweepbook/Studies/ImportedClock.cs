// SPDX-License-Identifier: MIT
using Sweepbook.Stimuli;

namespace Sweepbook.Studies;

/// <summary>How far the recorder's clock was off, for a take that is cut out of a recording made elsewhere.</summary>
internal static class ImportedClock
{
    /// <summary>The error worth writing down, in parts per million, fast above zero; null where it is not known or no larger than its own uncertainty.</summary>
    internal static double? Ppm(Stimulus stimulus, ReadOnlySpan<double> samples, List<string> remarks) => null;
}
