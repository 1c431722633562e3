// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Rooms;
using Sweepbook.Simulation;
using Xunit;

namespace Sweepbook.Tests.Simulation;

public sealed class BoxModelTests
{
    private const int Rate = 48_000;
    private const double Speed = 343.2;
    private const double WarpingRatio = 2e-3;   // the bilinear transform of 8 times the tuning at 48 kHz moves it by 3e-5; fourth powers of it and rounding stay below

    private static readonly PlannedBox Plan = new("box-1", 0.34, 0.52, 0.42, 52, 31, 15, 27, 78, 0.36, 0);

    [Theory]   // fact sheet 7.9: without losses U_port / U_cone = −1 / (1 − x²), x over the tuning, and the sum is x² / (x² − 1) of the cone
    [InlineData(0.25)]
    [InlineData(0.5)]
    [InlineData(2)]
    [InlineData(4)]
    public void Without_losses_port_over_cone_is_the_published_law(double overTuning)
    {
        var lossless = new BoxModel(Plan with { AbsorptionQ = 1e9 }, Rate);
        var hz = overTuning * Plan.TuningHz;
        var cone = lossless.Far(BoxPart.Cone).ResponseAt(hz);
        Assert.InRange((lossless.Far(BoxPart.Port).ResponseAt(hz) / cone + 1 / (1 - overTuning * overTuning)).Magnitude, 0, WarpingRatio);
        Assert.InRange((lossless.Far(BoxPart.Whole).ResponseAt(hz) / cone - overTuning * overTuning / (overTuning * overTuning - 1)).Magnitude, 0, WarpingRatio);
    }

    [Theory]   // law: numerators add over the same poles
    [InlineData(8.0)]
    [InlineData(31.0)]
    [InlineData(300.0)]
    [InlineData(9_000.0)]
    public void Cone_and_port_add_up_to_the_whole(double hz)
    {
        const double Rounding = 1e-6;
        var box = new BoxModel(Plan, Rate);
        var sum = box.Far(BoxPart.Cone).ResponseAt(hz) + box.Far(BoxPart.Port).ResponseAt(hz);
        Assert.InRange((sum / box.Far(BoxPart.Whole).ResponseAt(hz) - 1).Magnitude, 0, Rounding);
    }

    [Fact]   // closed form: s⁴ / D with D multiplied out, on the imaginary axis
    public void The_whole_is_a_fourth_order_high_pass_of_the_circuit()
    {
        var box = new BoxModel(Plan, Rate);
        foreach (var hz in new[] { 5.0, 12, 24, 31, 45, 90, 250 })
        {
            var (s, ws, wb) = (new Complex(0, 2 * Math.PI * hz), 2 * Math.PI * 27, 2 * Math.PI * 31);
            var circuit = (s * s + s * ws / 0.36 + ws * ws) * (s * s + s * wb / 15 + wb * wb) + 78.0 / 52 * ws * ws * s * s * (1 + s / (15 * wb));
            Assert.InRange((box.Far(BoxPart.Whole).ResponseAt(hz) * circuit / (s * s * s * s) - 1).Magnitude, 0, WarpingRatio);
        }
        Assert.Equal(1, box.Far(BoxPart.Whole).ResponseAt(20_000).Magnitude, 2);
    }

    [Theory]   // fact sheets 7.1 and 7.2: close up (2/a)(√(1 + (d/a)²) − d/a) of what it is at 1 m on a wide wall
    [InlineData(215, 0)]
    [InlineData(215, 5)]
    [InlineData(55, 3)]
    [InlineData(55, 40)]
    public void Close_up_the_level_rises_and_droops_as_the_facts_say(double areaCm2, double distanceMm)
    {
        const double ErrorDb = 0.005;   // (ka)²/24 of a part at 20 Hz is far below; the rest is the low end of the filters
        var radiator = new PlannedRadiator(Plan, BoxPart.Cone, areaCm2, distanceMm, double.NaN, double.NaN);
        var box = new BoxModel(Plan, Rate);
        var close = BoxSound.Near(box, radiator, null, distanceMm / 1000, Speed, Rate).ResponseAt(20) / box.Far(BoxPart.Cone).ResponseAt(20);
        var (a, over) = (radiator.RadiusMetres, distanceMm / 1000 / radiator.RadiusMetres);
        Assert.InRange(Decibels.FromAmplitude(close.Magnitude) - Decibels.FromAmplitude(2 / a * (Math.Sqrt(1 + over * over) - over)), -ErrorDb, ErrorDb);
    }

    [Fact]   // fact sheet 7.4: at the face of a disc the reading falls by sin(ka/2) / (ka/2): 1 dB at ka = 1.643
    public void At_the_face_of_a_large_disc_the_treble_reads_low()
    {
        const double ErrorDb = 0.02;   // the trapezoid integrates too little by (πf/rate)²/3, here 0.015 dB
        var radiator = new PlannedRadiator(Plan, BoxPart.Cone, 215, 0, double.NaN, double.NaN);
        var box = new BoxModel(Plan, Rate);
        var hz = 1.643 * Speed / (2 * Math.PI * radiator.RadiusMetres);
        var close = BoxSound.Near(box, radiator, null, 0, Speed, Rate).ResponseAt(hz) / box.Far(BoxPart.Cone).ResponseAt(hz);
        var half = Math.PI * hz / Rate;   // the bilinear integral of the velocity reads half / tan(half): 0.015 dB less here
        Assert.InRange(Decibels.FromAmplitude(close.Magnitude * radiator.RadiusMetres / 2 * Math.Tan(half) / half) + 1, -ErrorDb, ErrorDb);
    }

    [Fact]   // closed form: far below the front's size half of the pressure is left; far above, on the mean, all of it
    public void In_the_open_the_front_takes_half_of_the_bass()
    {
        const double BassDb = 0.3, MeanDb = 0.5;   // rays of up to 0.4 m still turn a little at 20 Hz and are weaker by their way; few edges ripple in the treble
        var radiator = new PlannedRadiator(Plan, BoxPart.Whole, double.NaN, double.NaN, 0.17, 0.34);
        var (box, room) = (new BoxModel(Plan, Rate), new RectangularRoom(40, 40, 40));
        var sound = BoxSound.Free(box, radiator, new(20, 20, 20), new(21, 20, 20), room, Rate);
        double Db(double hz) => Decibels.FromAmplitude(sound.ResponseAt(hz).Magnitude / box.Far(BoxPart.Whole).ResponseAt(hz).Magnitude);
        Assert.InRange(Db(20), -6.02 - 0.1, -6.02 + 0.1 + 4 * BassDb);
        Assert.InRange(Enumerable.Range(0, 200).Average(k => Db(3_000 * Math.Pow(4, k / 200.0))), -MeanDb, MeanDb);
    }

    [Fact]   // law: superposition; what is heard of the port as well is a small source at its distance
    public void The_other_opening_is_heard_as_a_small_source_on_the_same_front()
    {
        const double Rounding = 1e-9;
        var (cone, port) = (new PlannedRadiator(Plan, BoxPart.Cone, 215, 5, 0.17, 0.34), new PlannedRadiator(Plan, BoxPart.Port, 55, 3, 0.17, 0.09));
        var box = new BoxModel(Plan, Rate);
        var extra = BoxSound.Near(box, cone, port, 0.005, Speed, Rate).ResponseAt(40) - BoxSound.Near(box, cone, null, 0.005, Speed, Rate).ResponseAt(40);
        var away = Math.Sqrt(0.25 * 0.25 + 0.005 * 0.005);
        var expected = box.Far(BoxPart.Port).ResponseAt(40) / away * Complex.FromPolarCoordinates(1, -2 * Math.PI * 40 * away / Speed);
        Assert.InRange((extra - expected).Magnitude / expected.Magnitude, 0, 1e-4 + Rounding);   // a windowed cardinal is no exact delay
    }
}
