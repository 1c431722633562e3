// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Spectra;

/// <summary>Against the closed form of one pole, h[n] = aⁿ: group delay Re(a·z⁻¹ / (1 − a·z⁻¹)) samples, plus the delay before it.</summary>
public sealed class GroupDelayTests
{
    private const int Rate = 48_000;
    private const double Pole = 0.99;
    private const double DelaySamples = 4_000;   // 83 ms: the phase turns many times from one grid point to the next in the treble
    private const double Rounding = 1e-11;       // seconds; sums of 10^4 terms in double precision
    internal static readonly LogGrid Grid = LogGrid.Between(96, 20, 20_000);

    [Fact]
    public void A_measured_response_has_the_exact_group_delay_however_often_its_phase_turns()
    {
        var found = Measured(new("g")).GroupDelaysSeconds();
        for (var k = 0; k < Grid.Count; k++) Assert.Equal(Expected(Grid[k]), found[k], Rounding);
    }

    [Fact]
    public void Values_alone_give_the_slope_of_their_phase_where_it_turns_slowly()
    {
        const double SlopeSeconds = 2e-6;   // the delay bends by less than that over two grid points below 1 kHz
        var response = Measured(new("g"), withMoments: false);
        var found = response.GroupDelaysSeconds();
        for (var k = 0; Grid[k] < 700; k++) Assert.Equal(Expected(Grid[k]), found[k], SlopeSeconds);
    }

    [Fact]
    public void Nothing_is_said_where_the_phase_is_not_trusted()
    {
        var response = Measured(new("g"), phaseFromHz: 100);
        var found = response.GroupDelaysSeconds();
        for (var k = 0; k < Grid.Count; k++) Assert.Equal(Grid[k] < 100, double.IsNaN(found[k]));
    }

    private static double Expected(double frequencyHz)
    {
        var turned = Pole * Complex.Exp(new(0, -2 * Math.PI * frequencyHz / Rate));
        return ((turned / (1 - turned)).Real + DelaySamples) / Rate;
    }

    internal static Response Measured(TimeGroup group, bool withMoments = true, double phaseFromHz = 0)
    {
        var samples = new double[10_000];   // 0.99^6000 is below the last bit
        for (var n = (int)DelaySamples; n < samples.Length; n++) samples[n] = Math.Pow(Pole, n - DelaySamples);
        var impulse = new ImpulseResponse([.. new double[50], .. samples], Rate, 50, TimeZero.Loopback, group, "test");
        var spectrum = GridSpectrum.Of(impulse, Grid);
        var (level, phase) = (Limits.From(Grid.ToArray(), 0, default), Limits.From(Grid.ToArray(), phaseFromHz, new(Doubt.Noise, "noise")));
        var response = new Response(Grid, spectrum.Values, spectrum.CellPower, new double[Grid.Count], new bool[Grid.Count], level, phase, group, LevelReference.Loopback);
        return withMoments ? response.WithTimeMoments(() => GridSpectrum.TimeMoments(impulse, Grid)) : response;
    }
}
