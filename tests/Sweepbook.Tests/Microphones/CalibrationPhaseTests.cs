// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Sweepbook.Microphones;
using Sweepbook.Quantities;
using Xunit;

namespace Sweepbook.Tests.Microphones;

public sealed class CalibrationPhaseTests
{
    private static readonly LogGrid Grid = LogGrid.Between(12, 5, 20_000);

    /// <summary>A first-order high-pass f / (f − j fc) turns by +atan(fc / f); taking it out turns back. A low-pass the other way.</summary>
    [Theory]
    [InlineData(20, true)]
    [InlineData(4_000, true)]
    [InlineData(12_000, false)]
    public void The_minimum_phase_of_a_first_order_microphone_is_its_arc_tangent(double cornerHz, bool isHighPass)
    {
        const double LinesDegrees = 0.02, TopHz = 1e6;   // straight lines between 24 points per octave
        double Level(double hz) => -10 * Math.Log10(1 + Math.Pow(isHighPass ? cornerHz / hz : hz / cornerHz, 2));
        double Turned(double hz) => isHighPass ? Math.Atan2(cornerHz, hz) : -Math.Atan2(hz, cornerHz);
        var curve = Curve(hz => Level(hz), null, 1e-3, TopHz, 24);
        var degrees = CalibrationPhase.MinimumDegrees(curve, CalibrationSign.Response, Grid);
        var reversed = CalibrationPhase.MinimumDegrees(curve, CalibrationSign.Correction, Grid);
        for (var k = 0; k < Grid.Count; k++)
        {
            var unseen = isHighPass ? 0 : 2 / Math.PI * Grid[k] / TopHz * 180 / Math.PI;   // of a fall of 6 dB per octave beyond the file's end: (1/π) ∫ 2 e^−u du
            Assert.Equal(-Turned(Grid[k]) * 180 / Math.PI - unseen, degrees[k], LinesDegrees);
            Assert.Equal(-degrees[k], reversed[k], 1e-9);
        }
    }

    /// <summary>The integral itself, summed in small steps over two straight lines: slow, obvious, and with no closed form in it.</summary>
    [Fact]
    public void The_closed_form_is_the_integral()
    {
        var curve = Curve(hz => hz < 100 ? 0 : hz > 1000 ? 6 : 6 * Math.Log10(hz / 100), null, 10, 10_000, 1);
        var degrees = CalibrationPhase.MinimumDegrees(curve, CalibrationSign.Correction, Grid);
        const double ToleranceDegrees = 0.02;   // of the sum's steps round the logarithm's pole
        foreach (var k in new[] { 20, 60, 80, 110 })
        {
            var (sum, steps) = (0.0, 400_000);
            var (low, high) = (Math.Log(curve.FromHz), Math.Log(curve.ToHz));
            for (var n = 0; n < steps; n++)
            {
                var (before, after) = (low + (high - low) * n / steps, low + (high - low) * (n + 1) / steps);
                var rise = (curve.LevelDbAt(Math.Exp(after)) - curve.LevelDbAt(Math.Exp(before))) * Math.Log(10) / 20;
                sum += rise * Math.Log(1 / Math.Tanh(Math.Abs((before + after) / 2 - Math.Log(Grid[k])) / 2)) / Math.PI;
            }
            Assert.Equal(sum * 180 / Math.PI, degrees[k], ToleranceDegrees);
        }
    }

    [Fact]
    public void A_stated_phase_is_taken_off_where_it_is_the_response_and_put_on_where_it_is_the_correction()
    {
        var curve = Curve(_ => 0, hz => 10 * Math.Log10(hz), 1, 100_000, 12);
        Assert.Equal(-10 * Math.Log10(Grid[30]), CalibrationPhase.StatedDegrees(curve, CalibrationSign.Response, Grid)[30], 1e-3);
        Assert.Equal(10 * Math.Log10(Grid[30]), CalibrationPhase.StatedDegrees(curve, CalibrationSign.Correction, Grid)[30], 1e-3);
    }

    internal static string Text(Func<double, double> levelDb, Func<double, double>? degrees, double fromHz, double toHz, int perOctave)
    {
        var text = new StringBuilder();
        for (var n = 0; fromHz * Math.Pow(2, (double)n / perOctave) <= toHz; n++)
        {
            var hz = fromHz * Math.Pow(2, (double)n / perOctave);
            text.Append(CultureInfo.InvariantCulture, $"{hz:0.0000000} {levelDb(hz):0.000000}{(degrees is null ? "" : $" {degrees(hz).ToString("0.00000", CultureInfo.InvariantCulture)}")}\n");
        }
        return text.ToString();
    }

    private static CalibrationCurve Curve(Func<double, double> levelDb, Func<double, double>? degrees, double fromHz, double toHz, int perOctave)
    {
        var path = Path.GetTempFileName();
        File.WriteAllText(path, Text(levelDb, degrees, fromHz, toHz, perOctave));
        var curve = CalibrationCurve.Read(path);
        File.Delete(path);
        return curve;
    }
}
