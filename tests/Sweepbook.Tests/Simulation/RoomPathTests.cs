// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Rooms;
using Sweepbook.Simulation;
using Xunit;

namespace Sweepbook.Tests.Simulation;

public sealed class RoomPathTests
{
    private const int Rate = 48000;
    private static readonly RectangularRoom Room = new(5.4, 4.1, 2.5);
    private static readonly Position Source = new(0.5, 0.6, 0.3);
    private static readonly Position Seat = new(3.7, 2.3, 1.1);

    private static AcousticRoom Acoustics(double t60, double crossoverHz, double leakHz = 3) =>
        new(Room, new DecayByFrequency([new(100, t60)]), crossoverHz, leakHz);

    [Fact]
    public void Dump()
    {
        var a = new RoomPath(Acoustics(0.4, 150), Source, Seat, null, 0, Rate);
        var b = new RoomPath(Acoustics(0.4, 300), Source, Seat, null, 0, Rate);
        for (var f = 20.0; f < 1000; f *= 1.1)
        {
            var (x, y) = (a.ResponseAt(f), b.ResponseAt(f));
            Console.WriteLine($"{f:F1} {20 * Math.Log10(x.Magnitude):F2} {20 * Math.Log10(y.Magnitude):F2} diff {20 * Math.Log10((x - y).Magnitude / x.Magnitude):F1}");
        }
        var impulse = new double[48000];
        impulse[4800] = 1;
        var watch = System.Diagnostics.Stopwatch.StartNew();
        var h = a.Apply(impulse);
        Console.WriteLine($"{watch.ElapsedMilliseconds} ms, arrival {a.ArrivalSeconds * Rate}");
        for (var n = 4800 - 1500; n < 4800 + 3000; n += 20) Console.WriteLine($"{n - 4800} {h.AsSpan(n, 20).ToArray().Max(v => Math.Abs(v)):E2}");
        var noise = new double[240000];
        for (var i = 24000; i < 168000; i++) noise[i] = Math.Sin(i);
        watch.Restart();
        _ = b.Apply(noise);
        Console.WriteLine($"take {watch.ElapsedMilliseconds} ms");
        watch.Restart();
        _ = new RoomPath(Acoustics(0.4, 300), Source, Seat, Seat, 1000, Rate);
        Console.WriteLine($"build {watch.ElapsedMilliseconds} ms");
    }
}
