// SPDX-License-Identifier: MIT
using System.Runtime.InteropServices;

namespace Sweepbook.Benchmarks.Cases;

/// <summary>One piece of work that Sweepbook and a SciPy script both do, from the same input files. A test proves that both give the same numbers.</summary>
public abstract class SideCase
{
    /// <summary>What the table calls it.</summary>
    public abstract string Name { get; }

    /// <summary>The script in the folder <c>scipy</c>, without its ending.</summary>
    public abstract string Script { get; }

    /// <summary>The ratio of the times to stay below.</summary>
    public abstract double GoalRatio { get; }

    /// <summary>Allowed relative rms difference of the two results.</summary>
    public abstract double Tolerance { get; }

    /// <summary>Why that much.</summary>
    public abstract string WhyTolerance { get; }

    /// <summary>Writes the input of both sides.</summary>
    public abstract void WriteInputs(string folder);

    /// <summary>Reads the input; not measured.</summary>
    public abstract void Load(string folder);

    /// <summary>The work itself; measured.</summary>
    public abstract void Run();

    /// <summary>What the last run computed; complex numbers as pairs.</summary>
    public abstract double[] Result();

    /// <inheritdoc/>
    public override string ToString() => Name;

    /// <summary>
    /// Every case, in the order of the table. A further case is one class, one script and one line here. Arrays and plans are made on loading: what other cases
    /// keep on the heap makes the collector let a case that allocates run half as long again.
    /// </summary>
    public static IReadOnlyList<SideCase> All { get; } =
    [
        new RealTransformCase(65_536),
        new RealTransformCase(960_000),
        new RealTransformCase(1_048_576),
        new ImpulseResponseCase(12),
        new SmoothingCase(1 << 19),
        new ThirdOctaveCase(2),
        new SeatsCase(9, 65_536),
        new DecayCase(2),
        new CumulativeDecayCase(2, 200),
    ];

    /// <summary>The same kinds of work on small inputs, for the test.</summary>
    public static IReadOnlyList<SideCase> Small { get; } =
    [
        new RealTransformCase(4096),
        new RealTransformCase(9600),
        new ImpulseResponseCase(1),
        new SmoothingCase(1 << 14),
        new ThirdOctaveCase(1),
        new SeatsCase(9, 1001),
        new DecayCase(1),
        new CumulativeDecayCase(1, 20),
    ];

    /// <summary>Numbers between −½ and ½ without an obvious pattern.</summary>
    protected static double[] Pattern(int count) => [.. Enumerable.Range(0, count).Select(n => (long)n * n * 3 % 65537 / 65536.0 - 0.5)];

    /// <summary>Writes numbers as the bare doubles of a little-endian machine.</summary>
    public static void Write(string path, double[] numbers) => File.WriteAllBytes(path, MemoryMarshal.AsBytes<double>(numbers));

    /// <summary>Reads them.</summary>
    public static double[] Read(string path) => [.. MemoryMarshal.Cast<byte, double>(File.ReadAllBytes(path))];
}
