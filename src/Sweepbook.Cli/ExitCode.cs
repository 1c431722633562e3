// SPDX-License-Identifier: MIT
namespace Sweepbook.Cli;

/// <summary>What the command tells the shell.</summary>
internal static class ExitCode
{
    /// <summary>Done.</summary>
    public const int Good = 0;

    /// <summary>The data is bad, or the check found faults.</summary>
    public const int BadData = 1;

    /// <summary>Used wrongly: an unknown command, option or value.</summary>
    public const int UsedWrongly = 2;

    /// <summary>Cancelled with Ctrl-C or ended from outside; the usual 128 + 2.</summary>
    public const int Cancelled = 130;
}
