// SPDX-License-Identifier: MIT
namespace Sweepbook.Cli.Tests;

/// <summary>Splits an example as a shell would: blanks part, double quotes hold together.</summary>
internal static class ShellWords
{
    public static string[] Split(string line) =>
        [.. line.Split('"').SelectMany((part, k) => k % 2 == 1 ? [part] : part.Split(' ', StringSplitOptions.RemoveEmptyEntries))];
}
