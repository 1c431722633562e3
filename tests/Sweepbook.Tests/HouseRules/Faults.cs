// SPDX-License-Identifier: MIT
using Xunit;

namespace Sweepbook.Tests.HouseRules;

/// <summary>Fails with the whole list, one fault a line.</summary>
public static class Faults
{
    /// <summary>Passes where the list is empty.</summary>
    public static void None(IEnumerable<string?> faults)
    {
        var list = faults.ToList();
        Assert.True(list.Count == 0, string.Join('\n', list));
    }
}
