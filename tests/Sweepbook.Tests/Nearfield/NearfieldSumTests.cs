// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Nearfield;
using Sweepbook.Quantities;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Nearfield;

public sealed class NearfieldSumTests
{
    private const double Exact = 1e-9;
    private const double FactRatio = 1e-4;       // fact sheet 7.9
    private const double PromiseDb = 0.25;       // design, numerical promises: 40 dB of signal to noise per bin, from 0.8 · tuning up
    private const double PromiseShare = 0.99;    // two parts, each 0.06 dB of scatter at 40 dB: 0.25 dB are 2.9 standard deviations
    private const double PhaseDegrees = 3;
    private static readonly VentedBox Box = new();

    [Fact]
    public void Without_noise_the_sum_is_the_fourth_order_high_pass_in_level_and_phase()
    {
        var sum = Box.Measured();
        for (var k = 0; k < sum.Response.Count; k++)
            Assert.True((sum.Response[k].Value - Box.Sum(sum.Response.Grid[k])).Magnitude < Exact, $"{sum.Response.Grid[k]:0.0} Hz");
        var far = sum.FarField(2, FieldSpace.Full);
        var at = far[40];
        var expected = Box.Sum(at.FrequencyHz) * Math.Sqrt(VentedBox.ConeArea / Math.PI) / 8 * Complex.Exp(-Complex.ImaginaryOne * 2 * Math.PI * at.FrequencyHz / VentedBox.Sound * 2);
        Assert.True((at.Value - expected).Magnitude < Exact);
        Assert.Equal(6.0206, sum.FarField(2, FieldSpace.Half)[40].LevelDb - at.LevelDb, 1e-4);   // fact sheet 7.1
    }

    [Fact]
    public void The_ports_pressure_counts_by_the_ratio_of_the_radii()
    {
        var sum = Box.Measured();
        var factor = sum.Parts[1][30].Value / sum.Radiators[1].AtFace(VentedBox.Sound)[30].Value;
        Assert.Equal(0.423081, factor.Real, 1e-6);   // fact sheet 7.8: −7.472 dB
        Assert.Equal(-7.4715, Decibels.FromAmplitude(factor.Magnitude), 1e-4);
    }

    [Theory]   // fact sheet 7.9: port over cone and their sum over the cone, without losses
    [InlineData(0.25, -1.06667, -0.06667)]
    [InlineData(0.5, -1.33333, -0.33333)]
    [InlineData(2, 0.33333, 1.33333)]
    [InlineData(4, 0.06667, 1.06667)]
    public void Cone_and_port_of_a_lossless_box_stand_as_the_sheet_says(double overTuning, double port, double total)
    {
        var lossless = Box with { LossQ = double.PositiveInfinity, TuningHz = 1000 * Math.Pow(2, -4.75) };   // a grid point
        var sum = lossless.Measured();
        var k = Enumerable.Range(0, sum.Response.Count).MinBy(n => Math.Abs(sum.Response.Grid[n] / lossless.TuningHz - overTuning));
        Assert.Equal(port, (sum.Parts[1][k].Value / sum.Parts[0][k].Value).Real, FactRatio);
        Assert.Equal(total, (sum.Response[k].Value / sum.Parts[0][k].Value).Real, FactRatio);
        Assert.Equal(overTuning < 1 ? 180 : 0, Math.Abs(sum.PhaseBetweenDegreesAt(overTuning * lossless.TuningHz)), 1e-6);
        Assert.Equal(lossless.TuningHz, sum.TuningHz, 1e-6);
        Assert.Equal(1, sum.Check.PortRatio, 1e-6);
    }

    [Fact]
    public void At_40_decibels_of_signal_to_noise_the_promise_holds()
    {
        var (good, all, random) = (0, 0, new Random(7));
        for (var run = 0; run < 40; run++)
        {
            var sum = Box.Measured(0.01, random);
            for (var k = 0; k < sum.Response.Count; k++)
            {
                var frequencyHz = sum.Response.Grid[k];
                if (frequencyHz < 0.8 * Box.TuningHz || frequencyHz > 200) continue;
                var truth = Box.Sum(frequencyHz);
                Assert.True(sum.Response[k].TrustedPhase);
                var turned = (sum.Response[k].Value / truth).Phase * 180 / Math.PI;
                good += Math.Abs(sum.Response[k].LevelDb - Decibels.FromAmplitude(truth.Magnitude)) <= PromiseDb && Math.Abs(turned) <= PhaseDegrees ? 1 : 0;
                all++;
            }
        }
        Assert.True(good >= PromiseShare * all, $"{good} of {all}");
    }

    /// <summary>Noise, distances ± 1 mm and areas ± 3 %, drawn evenly: the truth lies within the stated interval in 95 % of draws, above the tuning and well below it.</summary>
    [Fact]
    public void The_uncertainty_holds_the_truth_and_grows_below_the_tuning()
    {
        const int Runs = 400;
        var random = new Random(11);
        var (within, widths) = (new int[VentedBox.Grid.Count], new double[VentedBox.Grid.Count]);
        for (var run = 0; run < Runs; run++)
        {
            double Spread(double about, double by) => about + by * (2 * random.NextDouble() - 1);
            var sum = NearfieldSum.Of(
            [
                VentedBox.Taken("cone", RadiatorKind.Cone, Box.Cone, VentedBox.ConeArea, Spread(0.008, 0.001), statedDistance: 0.008, noise: 0.003, random: random),
                VentedBox.Taken("port", RadiatorKind.Port, Box.Port, VentedBox.PortArea * Spread(1, 0.03), Spread(0.003, 0.001), VentedBox.PortArea, 0.003, 0.003, random),
            ], default, VentedBox.Sound);
            for (var k = 0; k < within.Length; k++)
            {
                var error = sum.Response[k].LevelDb - Decibels.FromAmplitude(Box.Sum(VentedBox.Grid[k]).Magnitude);
                if (Math.Abs(error) <= sum.UncertaintyDb[k]) within[k]++;
                widths[k] += sum.UncertaintyDb[k] / Runs;
            }
        }
        double At(double[] of, double overTuning) => of[Enumerable.Range(0, of.Length).MinBy(k => Math.Abs(VentedBox.Grid[k] - overTuning * Box.TuningHz))];
        foreach (var overTuning in new[] { 0.45, 0.55, 0.7, 0.8, 1, 1.5, 2, 4 })
        {
            var share = At([.. within.Select(count => (double)count / Runs)], overTuning);
            Assert.True(share >= 0.92, $"{overTuning} · tuning: {share:0.000}, ± {At(widths, overTuning):0.00} dB");   // 95 %, less 2.8 standard deviations of 400 runs
        }
        Assert.True(At(widths, 0.5) > 2.5 * At(widths, 1), $"{At(widths, 0.5):0.00}, {At(widths, 1):0.00} dB");
        Assert.True(At(widths, 0.35) > 2 * At(widths, 0.5), $"{At(widths, 0.35):0.00}, {At(widths, 0.5):0.00} dB");
    }

    [Fact]
    public void Where_what_is_left_is_no_more_than_its_uncertainty_the_sum_is_doubted()
    {
        var sum = Box.Measured();
        var lowest = sum.Response[0];
        Assert.Equal(Doubt.NearField, lowest.LevelReason.Doubt);
        Assert.Contains("cancel to within their uncertainty", lowest.LevelReason.Sentence, StringComparison.Ordinal);
        Assert.True(sum.UncertaintyDb[0] > 4);
        Assert.True(sum.Response.LevelTrust.LongestBand().FromHz < 0.6 * Box.TuningHz);
    }

    [Fact]
    public void Equal_cones_and_ports_count_as_often_as_there_are()
    {
        Radiator Cone(int count, string name = "cone") => VentedBox.Taken(name, RadiatorKind.Cone, f => Box.Cone(f) / 2, VentedBox.ConeArea, 0.005, count: count);
        Radiator Port(int count, string name = "port") => VentedBox.Taken(name, RadiatorKind.Port, f => Box.Port(f) / 3, VentedBox.PortArea, 0.005, count: count);
        var counted = NearfieldSum.Of([Cone(2), Port(3)], default, VentedBox.Sound);
        var listed = NearfieldSum.Of([Port(1, "p1"), Cone(1, "c1"), Port(1, "p2"), Port(1, "p3"), Cone(1, "c2")], default, VentedBox.Sound);
        for (var k = 0; k < counted.Response.Count; k++)
        {
            Assert.True((counted.Response[k].Value - Box.Sum(counted.Response.Grid[k])).Magnitude < Exact);
            Assert.True((listed.Response[k].Value - Box.Sum(listed.Response.Grid[k])).Magnitude < Exact);
        }
        Assert.Equal("c1", listed.Radiators[0].Name);   // the scale is that of a cone, whatever the order
    }

    [Fact]
    public void Unequal_cones_share_by_their_volume()
    {
        // volume velocity over radius: a cone of a quarter of the area with a third of the flow
        var sum = NearfieldSum.Of([
            VentedBox.Taken("large", RadiatorKind.Cone, f => Box.Sum(f) * 2 / 3, VentedBox.ConeArea, 0.01),
            VentedBox.Taken("small", RadiatorKind.Cone, f => Box.Sum(f) / 3, VentedBox.ConeArea / 4, 0.002)], default, VentedBox.Sound);
        for (var k = 0; k < sum.Response.Count; k++) Assert.True((sum.Response[k].Value - Box.Sum(sum.Response.Grid[k])).Magnitude < Exact);
        Assert.True(double.IsNaN(sum.PhaseBetweenDegreesAt(50)));
    }

    [Fact]
    public void A_passive_radiator_is_a_port_with_a_spring()
    {
        var passive = Box with { Delta = 0.25 };
        var sum = NearfieldSum.Of([VentedBox.Taken("cone", RadiatorKind.Cone, passive.Cone, VentedBox.ConeArea, 0.005), VentedBox.Taken("passive", RadiatorKind.PassiveRadiator, passive.Port, 0.03, 0.005)], default, VentedBox.Sound);
        for (var k = 0; k < sum.Response.Count; k++) Assert.True((sum.Response[k].Value - passive.Sum(sum.Response.Grid[k])).Magnitude < Exact);
        Assert.Equal(Box.TuningHz * Math.Sqrt(1.25), sum.TuningHz, 0.2);   // Re(cone / radiator) = x² − (1 + δ), but for losses
        Assert.Equal(1 / 1.25, sum.Check.PortRatio, 0.01);
        Assert.True(sum.UncertaintyDb[Index(35)] < 0.6);   // the plain law does not hold, so it accuses nobody
    }

    [Fact]
    public void A_sealed_box_falls_by_12_decibels_per_octave_and_has_no_tuning()
    {
        var closed = Box with { Delta = double.PositiveInfinity };
        var sum = NearfieldSum.Of([VentedBox.Taken("cone", RadiatorKind.Cone, closed.Cone, VentedBox.ConeArea, 0.005)], default, VentedBox.Sound);
        Assert.True(double.IsNaN(sum.TuningHz));
        Assert.InRange(sum.SlopeDbPerOctave, 9, 12.5);
        Assert.Equal("", sum.Check.WhyNot);
    }

    [Fact]
    public void Wrong_areas_and_reversed_takes_show_in_the_balance_and_in_the_uncertainty()
    {
        var cone = VentedBox.Taken("cone", RadiatorKind.Cone, Box.Cone, VentedBox.ConeArea, 0.008);
        NearfieldSum With(double sign, double statedArea) => NearfieldSum.Of([cone, VentedBox.Taken("port", RadiatorKind.Port, f => sign * Box.Port(f), VentedBox.PortArea, 0.003, statedArea)], default, VentedBox.Sound);
        var (right, wide, reversed) = (With(1, VentedBox.PortArea), With(1, VentedBox.PortArea * 2), With(-1, VentedBox.PortArea));
        Assert.Equal(1, right.Check.PortRatio, 0.01);   // losses of 1/20
        Assert.InRange(wide.Check.PortRatio, 1.3, 1.5);   // √2, less what the wider piston is thought to lose with distance
        Assert.Equal(-1, reversed.Check.PortRatio, 0.01);
        Assert.True(reversed.Check.IsReversed && !right.Check.IsReversed);
        Assert.True(wide.UncertaintyDb[Index(20)] > 5 * right.UncertaintyDb[Index(20)]);
        Assert.False(wide.Response.LevelTrust[Index(20)]);
        Assert.All(new[] { wide, reversed }, sum => Assert.Equal(Box.TuningHz, sum.TuningHz, 0.5));
    }

    [Fact]
    public void What_may_not_be_added_is_refused_with_the_names_of_the_parts()
    {
        var cone = VentedBox.Taken("woofer", RadiatorKind.Cone, Box.Cone, VentedBox.ConeArea, 0.008);
        Radiator Port(TimeGroup? group = null, LogGrid? grid = null) => VentedBox.Taken("slot", RadiatorKind.Port, Box.Port, VentedBox.PortArea, 0.003, group: group, grid: grid);
        string Refusal(params Radiator[] radiators) => Assert.Throws<ArgumentException>(() => NearfieldSum.Of(radiators, default, VentedBox.Sound)).Message;
        Assert.StartsWith("No time zero is known of slot close up", Refusal(cone, Port(TimeGroup.None)), StringComparison.Ordinal);
        Assert.StartsWith("The time zeros of woofer close up and slot close up have nothing to do with each other", Refusal(cone, Port(new("marker@port"))), StringComparison.Ordinal);
        Assert.Contains("different frequency grids", Refusal(cone, Port(grid: LogGrid.Between(24, 12, 1200))), StringComparison.Ordinal);
        Assert.Contains("None of the radiators is a cone", Refusal(Port()), StringComparison.Ordinal);
        Assert.Equal("areaSquareMetres", Assert.Throws<ArgumentOutOfRangeException>(() => new Radiator("slot", RadiatorKind.Port, cone.Response, 0, 0.003)).ParamName);
        Assert.Equal("distanceMetres", Assert.Throws<ArgumentOutOfRangeException>(() => new Radiator("slot", RadiatorKind.Port, cone.Response, 0.01, 1.5)).ParamName);
        Assert.Equal("count", Assert.Throws<ArgumentOutOfRangeException>(() => new Radiator("slot", RadiatorKind.Port, cone.Response, 0.01, 0.003, 0)).ParamName);
        Assert.Equal("frequencyHz", Assert.Throws<ArgumentOutOfRangeException>(() => Box.Measured().PhaseBetweenDegreesAt(2000)).ParamName);
    }

    [Fact]
    public void Noise_counts_against_the_sum_and_not_against_the_part_that_rests()
    {
        var sum = Box.Measured(0.02, new Random(3));
        var k = Index(Box.TuningHz);
        Assert.Equal(Doubt.Noise, sum.Parts[0][k].PhaseReason.Doubt);
        Assert.True(sum.Response[k].TrustedPhase && sum.Response[k].TrustedLevel, sum.Response[k].PhaseReason.Sentence);
        var loud = Box.Measured(0.2, new Random(3));
        Assert.Equal(Doubt.Noise, loud.Response[Index(60)].PhaseReason.Doubt);
    }

    [Fact]
    public void The_upper_limit_is_the_lower_of_cone_and_box()
    {
        Radiator[] cone = [VentedBox.Taken("cone", RadiatorKind.Cone, Box.Cone, VentedBox.ConeArea, 0.008)];
        Assert.Equal(344 / 1.5, NearfieldLimit.Of(cone, new(0.3, 0.5, 0.4), 344).FrequencyHz, 0.01);   // fact sheet 7.6: 229 Hz
        Assert.Equal(1.643 * 659.9, NearfieldLimit.Of(cone, default, 343).FrequencyHz, 0.5);            // fact sheet 7.4, 7.5
        Assert.Equal(1.643 * 659.9, NearfieldLimit.Of(cone, new(0.05, 0.1, 0.02), 343).FrequencyHz, 0.5);
        Assert.Throws<ArgumentException>(() => NearfieldLimit.Of([], default, 344));
    }

    private static int Index(double frequencyHz) => Enumerable.Range(0, VentedBox.Grid.Count).MinBy(k => Math.Abs(VentedBox.Grid[k] - frequencyHz));
}
