// SPDX-License-Identifier: MIT
using System.Runtime.InteropServices;

namespace Sweepbook.Tests.Transforms;

/// <summary>Spans that claim a length without the memory: for code that must refuse them before it reads a sample.</summary>
internal static class LongSpan
{
    private static readonly double[] Guard = [1];

    public static ReadOnlySpan<double> Of(int length) => MemoryMarshal.CreateReadOnlySpan(ref Guard[0], length);
}
