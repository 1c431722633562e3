// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Simulation;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Tests.Files;
using Xunit;

namespace Sweepbook.Tests.Simulation;

public sealed class TruthTests
{
    private const double ComparedBelowHz = 200;   // above, the study's levels are means over many cycles of a comb, the truth is one frequency
    private const double ComparedAboveSnrDb = 30;

    [Theory]   // closed form of the simulated system against the whole analysis: loopback, window, microphone correction, repeats, noise
    [InlineData("exponential", "")]
    [InlineData("synchronised", "")]
    [InlineData("linear", "sweep_s = 3.0|end_hz = 2000.0|fade_in_s = 0.005")]   // 660 Hz a second: enough of them in the bass, and the fade is over at 23 Hz
    public void A_study_finds_the_levels_and_phases_that_were_simulated(string kind, string changes)
    {
        const double MedianDb = 0.05, NearlyAllDb = 0.5, MedianDegrees = 0.5;   // 30 dB are 0.27 dB and 1.8° of noise in each single bin
        using var folder = new TemporaryFolder();
        var plan = Plans.Read(Plans.Of(kind, changes));
        Simulator.Write(plan, folder["survey"]);
        var system = new SimulatedSystem(plan.Survey);
        var interfaceDb = plan.Survey.Interface.InputGainDb - plan.Survey.Interface.LoopbackGainDb;
        var (levels, phases) = (new List<double>(), new List<double>());
        foreach (var result in Study.Of(Survey.Read(folder["survey"])).Responses)
        {
            var take = plan.Survey.Takes.First(take => take.Source.Id == result.Source && take.Seat.Id == result.Seat);
            var path = system.PathOf(take.Source, take.Seat);
            foreach (var point in result.Response.Points().Where(point => point.TrustedLevel && point.FrequencyHz < ComparedBelowHz && point.SnrDb > ComparedAboveSnrDb))
            {
                var truth = path.ResponseAt(point.FrequencyHz) * system.SourceOf(take.Source).ResponseAt(point.FrequencyHz);
                var microphonePhase = system.Microphone.ResponseAt(point.FrequencyHz).Phase;   // its calibration file states levels only
                levels.Add(point.LevelDb - Decibels.FromAmplitude(truth.Magnitude) - interfaceDb);
                phases.Add(Math.IEEERemainder(point.PhaseDegrees - (truth.Phase + microphonePhase) * 180 / Math.PI, 360));
            }
        }
        TestContext.Current.TestOutputHelper?.WriteLine($"{kind}: {levels.Count} bins, median {Median(levels):0.0000} dB and {Median(phases):0.000}°, 95 % within {levels.Select(Math.Abs).Order().ElementAt(levels.Count * 19 / 20):0.000} dB");
        Assert.True(levels.Count > 200, $"{levels.Count} bins could be compared");
        Assert.InRange(Median(levels), -MedianDb, MedianDb);
        Assert.InRange(Median(phases), -MedianDegrees, MedianDegrees);
        Assert.InRange(levels.Select(Math.Abs).Order().ElementAt(levels.Count * 19 / 20), 0, NearlyAllDb);
    }

    private static double Median(IEnumerable<double> values) => values.Order().ToList() is var sorted ? sorted[sorted.Count / 2] : double.NaN;
}
