// SPDX-License-Identifier: MIT
using Sweepbook.Stimuli;
using Xunit;

namespace Sweepbook.Tests.Stimuli;

public sealed class SweepLawTests
{
    private const double LastPrintedDigit = 0.6e-6;   // fact sheet 5.3 and 5.6 print six decimals

    public static TheoryData<SweepKind, double, double, double> Laws => new()
    {
        { SweepKind.Exponential, 10, 22_000, 10 },
        { SweepKind.Synchronised, 5, 500, 20 },
        { SweepKind.Linear, 20, 20_000, 3 },
    };

    [Theory]
    [InlineData(20, 20_000, 10, 29, 1.45, 10.016245)]   // fact sheet 5.6
    [InlineData(10, 200, 15, 50, 5, 14.978661)]
    [InlineData(5, 500, 20, 22, 4.4, 20.262749)]
    [InlineData(20, 200, 5, 43, 2.15, 4.950558)]
    public void A_synchronised_sweep_takes_the_published_lengths(double startHz, double endHz, double wished, int cycles, double constant, double seconds)
    {
        var law = new SweepLaw(SweepKind.Synchronised, startHz, endHz, wished);
        Assert.Equal(constant, law.OctaveConstantSeconds, 12);
        Assert.Equal(cycles, law.StartHz * law.OctaveConstantSeconds, 9);
        Assert.InRange(law.Seconds, seconds - LastPrintedDigit, seconds + LastPrintedDigit);
        Assert.Equal(law.Seconds, new SweepLaw(SweepKind.Synchronised, startHz, endHz, law.Seconds).Seconds);   // asked for its own length it stays as it is
    }

    [Theory]
    [InlineData(20, 200, 5, 2, 1.505150)]   // fact sheet 5.3
    [InlineData(20, 200, 5, 3, 2.385606)]
    [InlineData(5, 500, 20, 2, 3.010300)]
    [InlineData(5, 500, 20, 3, 4.771213)]
    public void Harmonics_of_an_exponential_sweep_lead_by_the_published_times(double startHz, double endHz, double seconds, int order, double lead) =>
        Assert.InRange(new SweepLaw(SweepKind.Exponential, startHz, endHz, seconds).LeadSecondsOf(order), lead - LastPrintedDigit, lead + LastPrintedDigit);

    [Fact]
    public void Harmonics_of_a_synchronised_sweep_are_the_sweep_itself_shifted_by_whole_cycles()
    {
        // The property that gives it its name (Novak et al. 2010): n · cycles(t) and cycles(t + L · ln n) differ by f₁L(n − 1), a whole number.
        const double CycleError = 1e-9;   // of 1 700 cycles in double precision
        var law = new SweepLaw(SweepKind.Synchronised, 10, 200, 15);
        for (var order = 2; order <= 5; order++)
            for (var t = 0.0; t < 3; t += 0.37)
            {
                var difference = order * law.PhaseCyclesAt(t) - law.PhaseCyclesAt(t + law.LeadSecondsOf(order));
                Assert.InRange(difference - Math.Round(difference), -CycleError, CycleError);
            }
    }

    [Theory, MemberData(nameof(Laws))]
    public void Frequency_is_the_derivative_of_the_phase_and_its_inverse_the_moment(SweepKind kind, double startHz, double endHz, double seconds)
    {
        const double Step = 1e-5, Relative = 1e-5;   // of a central difference: Step² f′′ / 6f and rounding over Step both stay below
        var law = new SweepLaw(kind, startHz, endHz, seconds);
        Assert.Equal(startHz, law.FrequencyHzAt(0), 9);
        Assert.Equal(endHz, law.FrequencyHzAt(law.Seconds), 6);
        for (var part = 0.01; part < 1; part += 0.07)
        {
            var t = part * law.Seconds;
            var slope = (law.PhaseCyclesAt(t + Step) - law.PhaseCyclesAt(t - Step)) / (2 * Step);
            Assert.InRange(slope / law.FrequencyHzAt(t), 1 - Relative, 1 + Relative);
            Assert.InRange((law.FrequencyHzAt(t + Step) - law.FrequencyHzAt(t - Step)) / (2 * Step) / law.HzPerSecondAt(law.FrequencyHzAt(t)), 1 - Relative, 1 + Relative);
            Assert.Equal(t, law.SecondsAtHz(law.FrequencyHzAt(t)), 9);
        }
        Assert.Equal((startHz, law.FrequencyHzAt(law.Seconds)), (law.FrequencyHzAt(-1), law.FrequencyHzAt(law.Seconds + 1)));
        Assert.Equal(0.0, law.SecondsAtHz(startHz / 2));
        Assert.Equal(law.Seconds, law.SecondsAtHz(2 * endHz), 9);
    }

    [Fact]
    public void A_linear_sweep_gives_its_harmonics_no_place_of_their_own() =>
        Assert.Equal(double.PositiveInfinity, new SweepLaw(SweepKind.Linear, 20, 20_000, 3).LeadSecondsOf(2));
}
