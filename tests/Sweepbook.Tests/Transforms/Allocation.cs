// SPDX-License-Identifier: MIT
namespace Sweepbook.Tests.Transforms;

/// <summary>What a call leaves on the heap once it is warm.</summary>
internal static class Allocation
{
    /// <summary>
    /// The least of several rounds: another thread may empty the store of plans, and the collector the pool, in the middle of one. Code that
    /// allocates does so in every round.
    /// </summary>
    public static long BytesOf(Action work)
    {
        const int Rounds = 10;
        work();
        var least = long.MaxValue;
        for (var round = 0; round < Rounds; round++)
        {
            var before = GC.GetAllocatedBytesForCurrentThread();
            work();
            least = Math.Min(least, GC.GetAllocatedBytesForCurrentThread() - before);
        }
        return least;
    }
}
