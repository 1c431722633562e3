// SPDX-License-Identifier: MIT
using Sweepbook.Simulation;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Tests.Simulation;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>The demo surveys, whose delays follow from their plans: distances, delays, and the filters of the boxes.</summary>
public sealed class DelayOfDemosTests
{
    private static string Demo(string name) => HouseRules.Repository.Path("data-demo", name);

    [Fact]
    public void No_delay_of_the_demo_with_two_subwoofers_is_off_by_more_than_twice_its_uncertainty()
    {
        var system = new SimulatedSystem(SimulationPlan.Read(Demo("orchard-row.plan.toml")).Survey);
        var survey = Survey.Read(Demo("orchard-row"));
        var study = Study.Of(survey.Only([.. survey.Takes.Where(take => take.SourceName != "main-left")]));
        Assert.Equal(5, study.RelativeDelays.Count);
        foreach (var entry in study.RelativeDelays)
        {
            var (source, reference) = (Planned(entry.Source), Planned(entry.ComparedWith));
            var seat = system.Plan.Seats.Single(seat => seat.Id == entry.Seat).Place;
            var truth = (source.Place.DistanceMetresTo(seat) - reference.Place.DistanceMetresTo(seat)) / system.Plan.Room.Room.SpeedOfSoundMetresPerSecond
                + TrueDelay.OfBoxes(system.SourceOf(source), system.SourceOf(reference));
            TestContext.Current.TestOutputHelper?.WriteLine(FormattableString.Invariant($"{entry.Seat}: true {truth * 1e3:0.00} ms; {entry.Delay?.Seconds * 1e3:0.00} ± {entry.Delay?.UncertaintySeconds * 1e3:0.00} ms {entry.Delay?.PolarityInWords} {entry.ResidualDegrees:0}° {entry.WhyNot}"));
            Assert.True(entry.Delay is null == entry.WhyNot is not null);
            Assert.InRange(entry.ResidualDegrees, 0, 180);
            if (entry.Delay is not { } delay) continue;
            Assert.InRange(delay.Seconds - truth, -2 * delay.UncertaintySeconds, 2 * delay.UncertaintySeconds);
            Assert.Equal("same", delay.PolarityInWords);
        }
        Assert.Single(study.Findings, finding => finding.Id == "relative-delay");

        PlannedSource Planned(string id) => system.Plan.Sources.Single(source => source.Id == id);
    }

    [Fact]
    public void A_marked_survey_has_one_time_zero_at_each_seat_and_a_loudspeaker_no_single_delay_after_the_subwoofer()
    {
        var study = Study.Of(Survey.Read(Demo("ferry-lane")));
        var zero = Assert.Single(study.Findings, finding => finding.Id == "time-zero");
        Assert.Equal((Severity.Note, "At each of the 3 seats the takes share one time zero (marker): responses of one seat may be added as complex numbers, as long as nobody moved the microphone or the marker's loudspeaker between them; those of different seats may not."), (zero.Severity, zero.Sentence));
        Assert.Equal(3, study.RelativeDelays.Count);
        Assert.All(study.RelativeDelays, entry => Assert.Null(entry.Delay));
        Assert.All(study.RelativeDelays, entry => Assert.Contains("look at their sum round the crossover", entry.WhyNot, StringComparison.Ordinal));
        var distance = Assert.Single(study.Findings, finding => finding.Id == "distance");   // the plan's loudspeaker waits 0.7 ms: 0.24 m, the same at every seat
        Assert.Equal("In 3 takes main-right sounds 0.24 m farther away than the positions say, everywhere by the same: a processing delay of 0.7 ms or a wrong position explains it.", distance.Sentence);
    }
}
