// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Sweepbook.Cli;

/// <summary>A number with its noun.</summary>
internal static class Counted
{
    /// <summary>"1 take", "16 takes".</summary>
    public static string Of(int count, string noun) => $"{count.ToString(CultureInfo.InvariantCulture)} {noun}{(count == 1 ? "" : "s")}";
}
