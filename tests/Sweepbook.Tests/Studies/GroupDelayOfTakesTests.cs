// SPDX-License-Identifier: MIT
using Sweepbook.Studies;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class GroupDelayOfTakesTests
{
    [Fact]
    public void A_take_that_is_only_late_has_that_group_delay_at_every_trusted_frequency_and_one_without_time_zero_has_none()
    {
        const double NoiseSeconds = 2e-4;   // at 20 Hz a phase error of 1.5° at 30 dB; the noise of the take is far below that
        const int Late = 480;
        using var survey = new SmallSurvey();
        survey.Add("a.wav", [(Late, 0.2)], noise: 1e-6);
        survey.Add("b.wav", [(Late, 0.2)], noise: 1e-6, keys: "time_zero = \"unknown\"", seat: "chair");
        var study = Study.Of(survey.Read());
        var (known, unknown) = (study.Response("main", "sofa"), study.Response("main", "chair"));
        var delays = known.Response.GroupDelaysSeconds();
        Assert.True(known.PhaseBand.ToHz > 1_000);
        for (var k = 0; k < delays.Length; k++)
            if (known.Response.Grid[k] >= 20 && known.Response.PhaseTrust[k]) Assert.Equal((double)Late / SmallSurvey.Rate, delays[k], NoiseSeconds);
        Assert.All(unknown.Response.GroupDelaysSeconds(), delay => Assert.True(double.IsNaN(delay)));
    }
}
