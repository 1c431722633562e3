// SPDX-License-Identifier: MIT
// One offender and one innocent per rule of the public surface.
#pragma warning disable CA1051, CA1822, IDE0060
namespace Sweepbook.Tests.HouseRules.Surface;

public sealed class Bad
{
    public double Changed;

    public Bad(double frequency) => Changed = frequency;

    public double Gain { get; set; }

    public ReadOnlySpan<double> Samples => [];

    public double this[double place] => place;

    public static void Shift(double? delay) { }

    public static void Read(out double level) => level = 0;
}

public class Unsealed;

public sealed class Filters;

public sealed class Good(double frequencyHz, double q, double weight)
{
    public double FrequencyHz { get; init; } = frequencyHz + q + weight;

    public static double Turn(double degrees) => degrees;

    public static string Say(double value, string unit) => $"{value} {unit}";

    private static double Hidden(double anything) => anything;

    public override string ToString() => $"{Hidden(1)}";
}

public static class Still;

public readonly record struct Point(double XMetres, double LevelDb);

public static class Crowd
{
    public sealed class Nested1;

    public sealed class Nested2;

    public sealed class Nested3;
}

public enum One;

public enum Two;

public enum Three;

public enum Four;

public enum Five;

public enum Six;
