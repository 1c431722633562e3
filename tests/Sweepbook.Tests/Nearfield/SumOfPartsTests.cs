// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Nearfield;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Xunit;

namespace Sweepbook.Tests.Nearfield;

public sealed class SumOfPartsTests
{
    private static readonly VentedBox Box = new();

    [Fact]
    public void A_sum_knows_its_microphone_and_whether_its_phase_is_out()
    {
        foreach (var isOut in new[] { false, true })
        {
            var sum = NearfieldSum.Of([Cone("omni", isOut, (0.1, 0.1)), Port("omni", isOut, (0.1, 0.35))], new(0.3, 0.5, 0.3), VentedBox.Sound);
            Assert.True(sum.IsCrosstalkTakenOff);
            Response[] all = [sum.Response, sum.FarField(1, FieldSpace.Half), .. sum.Parts, sum.Radiators[0].AtFace(VentedBox.Sound)];
            foreach (var made in all)
            {
                Assert.Equal(("omni", isOut), (made.Microphone, made.IsMicrophonePhaseOut));
                if (isOut) Assert.Equal((10.0, 1000.0), made.MicrophonePhaseHz);
            }
        }
    }

    [Fact]
    public void Two_microphones_are_refused_unless_the_phase_of_both_is_out()
    {
        foreach (var (cone, port) in new[] { (false, false), (true, false), (false, true) })
            Assert.Contains("omni heard one and usb the other", Assert.Throws<ArgumentException>(() => NearfieldSum.Of([Cone("omni", cone), Port("usb", port)], default, VentedBox.Sound)).Message, StringComparison.Ordinal);
        Assert.Equal("omni and usb", NearfieldSum.Of([Cone("omni", true), Port("usb", true)], default, VentedBox.Sound).Response.Microphone);
    }

    [Fact]
    public void What_each_microphone_hears_of_the_other_is_taken_off_and_a_part_of_it_counts()
    {
        const double Exact = 1e-6;
        const double ModelRatio = 0.15;   // own choice of the library: a small box is no endless front
        (double Left, double Bottom) at = (0.1, 0.1), above = (0.1, 0.35);
        var (cone, port) = (Cone("omni", false, at), Port("omni", false, above));
        Radiator Hearing(Radiator one, Radiator other, Func<double, Complex> share) => Placed(new(one.Name, one.Kind, one.Response.Replaced([.. one.Response.Points().Select(point => point.Value + Heard(one, other, share, point.FrequencyHz))], new double[one.Response.Count]),
            one.AreaSquareMetres, one.DistanceMetres), one.Place);
        var (clean, mixed) = (Box.Measured(), NearfieldSum.Of([Hearing(cone, port, Box.Port), Hearing(port, cone, Box.Cone)], default, VentedBox.Sound));
        for (var k = 0; k < clean.Response.Count; k++)
        {
            Assert.True((mixed.Response[k].Value - clean.Response[k].Value).Magnitude < Exact);
            var (f, total) = (clean.Response.Grid[k], clean.Response[k].Value.Magnitude);
            double Part(Radiator one, Radiator other, Func<double, Complex> share) => ModelRatio * (Heard(one, other, share, f) / Piston.OnAxisRatio(f, one.DistanceMetres, one.RadiusMetres, VentedBox.Sound)).Magnitude * Math.Sqrt(one.AreaSquareMetres / VentedBox.ConeArea) / total;
            var more = 2 * 20 / Math.Log(10) * Math.Sqrt(Math.Pow(Part(cone, port, Box.Port), 2) + Math.Pow(Part(port, cone, Box.Cone), 2));
            Assert.Equal(Math.Sqrt(Math.Pow(clean.UncertaintyDb[k], 2) + more * more), mixed.UncertaintyDb[k], 1e-3 * mixed.UncertaintyDb[k]);
        }

        static Complex Heard(Radiator one, Radiator other, Func<double, Complex> share, double frequencyHz)
        {
            var metres = Math.Sqrt(0.25 * 0.25 + one.DistanceMetres * one.DistanceMetres);
            return share(frequencyHz) * Math.Sqrt(VentedBox.ConeArea / other.AreaSquareMetres) * other.RadiusMetres / (2 * metres) * Complex.FromPolarCoordinates(1, -2 * Math.PI * frequencyHz / VentedBox.Sound * metres);
        }
    }

    /// <summary>All that the stated interval is made of is drawn (noise, both distances ± 1 mm, both areas ± 3 %, evenly): it is twice what the sum then scatters by, no less and not much more.</summary>
    [Fact]
    public void The_stated_interval_is_twice_the_scatter_of_what_it_is_made_of()
    {
        const int Runs = 600;
        const double LeastRatio = 0.9;   // a standard deviation of 600 draws is known to 3 %, decibels are no straight line
        const double MostRatio = 1.2;    // now and then the port disagrees with its box by more than two standard deviations, and that counts on top
        var (random, grid) = (new Random(23), VentedBox.Grid);
        var (squares, stated) = (new double[grid.Count], new double[grid.Count]);
        for (var run = 0; run < Runs; run++)
        {
            double Spread(double about, double by) => about + by * (2 * random.NextDouble() - 1);
            var sum = NearfieldSum.Of(
            [
                VentedBox.Taken("cone", RadiatorKind.Cone, Box.Cone, VentedBox.ConeArea, Spread(0.008, 0.001), VentedBox.ConeArea * Spread(1, 0.03), 0.008, 0.002, random),
                VentedBox.Taken("port", RadiatorKind.Port, Box.Port, VentedBox.PortArea, Spread(0.003, 0.001), VentedBox.PortArea * Spread(1, 0.03), 0.003, 0.002, random),
            ], default, VentedBox.Sound);
            for (var k = 0; k < grid.Count; k++)
            {
                squares[k] += Math.Pow(sum.Response[k].LevelDb - Decibels.FromAmplitude(Box.Sum(grid[k]).Magnitude), 2) / Runs;
                stated[k] += Math.Pow(sum.UncertaintyDb[k], 2) / Runs;
            }
        }
        foreach (var overTuning in new[] { 0.5, 0.6, 0.7, 0.8, 1, 1.4, 2, 4 })
        {
            var k = Enumerable.Range(0, grid.Count).MinBy(n => Math.Abs(grid[n] - overTuning * Box.TuningHz));
            TestContext.Current.TestOutputHelper?.WriteLine(FormattableString.Invariant($"{overTuning} · tuning: {Math.Sqrt(stated[k] / squares[k]) / 2:0.000} times twice {Math.Sqrt(squares[k]):0.000} dB"));
            Assert.InRange(Math.Sqrt(stated[k] / squares[k]) / 2, LeastRatio, MostRatio);
        }
    }

    [Fact]
    public void What_the_microphone_itself_may_be_off_by_stands_beside_the_sums_own_uncertainty()
    {
        Radiator Known(Radiator part) => new(part.Name, part.Kind, part.Response.With([.. Enumerable.Repeat(new LevelUncertainty(0.1, RepeatabilityBasis.Repeats, 0.4, 0.2, 0.1), part.Response.Count)]), part.AreaSquareMetres, part.DistanceMetres);
        var sum = NearfieldSum.Of([Known(Cone("omni", false)), Known(Port("omni", false))], default, VentedBox.Sound);
        var point = sum.Response[60];
        Assert.Equal((0.4, 0.0, RepeatabilityBasis.Repeats, sum.UncertaintyDb[60]), (point.Uncertainty.MicrophoneDb, point.Uncertainty.PositionDb, point.Uncertainty.Basis, point.Uncertainty.RepeatabilityDb));
        Assert.Equal(Math.Sqrt(0.8 * 0.8 + sum.UncertaintyDb[60] * sum.UncertaintyDb[60]), point.Uncertainty.ExpandedDb, 1e-9);
        var ofScale = 20 / Math.Log(10) * 0.03 / Math.Sqrt(3) / 2;   // the first cone's area, ± 3 % evenly, by its root
        Assert.Equal(ofScale, sum.FarField(1, FieldSpace.Half)[60].Uncertainty.PositionDb, 1e-9);
    }

    private static Radiator Cone(string microphone, bool isOut, (double, double)? place = null) => Placed(VentedBox.Taken("cone", RadiatorKind.Cone, Box.Cone, VentedBox.ConeArea, 0.008, microphone: microphone, isMicrophonePhaseOut: isOut), place);

    private static Radiator Port(string microphone, bool isOut, (double, double)? place = null) => Placed(VentedBox.Taken("port", RadiatorKind.Port, Box.Port, VentedBox.PortArea, 0.003, microphone: microphone, isMicrophonePhaseOut: isOut), place);

    private static Radiator Placed(Radiator one, (double, double)? place) => new(one.Name, one.Kind, one.Response, one.AreaSquareMetres, one.DistanceMetres) { Place = place };
}
