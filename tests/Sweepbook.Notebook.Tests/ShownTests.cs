// SPDX-License-Identifier: MIT
using Sweepbook.Decay;
using Sweepbook.Filters;
using Sweepbook.Impulses;
using Sweepbook.Microphones;
using Sweepbook.Nearfield;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Stimuli;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed class ShownTests(ViewStudies views) : IClassFixture<ViewStudies>
{
    [Fact]
    public void Every_value_of_the_library_that_a_study_reaches_shows_a_figure_a_table_or_a_sentence()
    {
        var reached = Reached();
        foreach (var (type, value) in reached)
        {
            var html = Shown.Html(value);
            Assert.True(html.Contains("<figure", StringComparison.Ordinal) || html.Contains("<table", StringComparison.Ordinal) || html.Contains("<p", StringComparison.Ordinal) || html.Contains("<ul", StringComparison.Ordinal), type.FullName);
            Assert.True(!html.Contains("Sweepbook.", StringComparison.Ordinal) && !html.Contains("`1", StringComparison.Ordinal), $"{type.FullName}: {html}");
            if (!Shown.IsMapped(type)) Assert.True(html.Contains("<table", StringComparison.Ordinal) || html.Contains("nothing to list", StringComparison.Ordinal), type.FullName);
            var text = ShownText.Of(value);
            Assert.True(!text.Contains("Sweepbook.", StringComparison.Ordinal) && !text.Contains("`1", StringComparison.Ordinal) && !text.Contains(" { ", StringComparison.Ordinal), $"{type.FullName}: {text}");
            Assert.Equal(html.Split("<figure ").Length, text.Split("From this file: ").Length);   // the text tells of every figure
            Assert.False(string.IsNullOrWhiteSpace(Shown.Html(Many(type, value))), type.FullName);
        }
        var unseen = Shown.Types.Where(type => Shown.IsMapped(type) && !reached.ContainsKey(type)).Select(type => type.Name).ToArray();
        Assert.True(unseen.Length == 0, $"No value was at hand of: {string.Join(", ", unseen)}");
    }

    [Theory]
    [InlineData(typeof(ResponseResult))]
    [InlineData(typeof(Study))]
    [InlineData(typeof(DecayResult))]
    [InlineData(typeof(Response))]
    [InlineData(typeof(ImpulseResponse))]
    [InlineData(typeof(DecayCurve))]
    [InlineData(typeof(BandDecay))]
    [InlineData(typeof(DecayMap))]
    [InlineData(typeof(Harmonics))]
    [InlineData(typeof(CalibrationCurve))]
    [InlineData(typeof(MicrophoneRange))]
    [InlineData(typeof(SweepDesign))]
    [InlineData(typeof(Stimulus))]
    public void A_curve_is_a_figure(Type type) => Assert.Contains("<figure class=\"sweepbook-figure\"", Shown.Html(Reached()[type]), StringComparison.Ordinal);

    [Fact]
    public void A_few_curves_are_figures_many_are_a_table_and_microphones_share_one_picture()
    {
        var study = views.Timed;
        Assert.Equal(2, Shown.Html(study.Responses.Take(2)).Split("<figure ").Length - 1);
        Assert.Contains("<th scope=\"col\">level band</th>", Shown.Html(Enumerable.Repeat(study.Responses[0], 5)));
        var microphones = Shown.Html(MicrophoneFigureTests.Loft.Value.Microphones);
        Assert.Equal(1, microphones.Split("<figure ").Length - 1);
        Assert.All(MicrophoneFigureTests.Loft.Value.Microphones, microphone => Assert.Contains(microphone.Id, microphones));
    }

    [Fact]
    public void Facts_say_their_unit()
    {
        Assert.Contains("<th scope=\"row\">width</th><td>0.34 m</td>", Shown.Html(new BoxSize(0.34, 0.52, 0.3)));
        Assert.Contains("<th scope=\"row\">drive</th><td>−12 dB</td>", ShownFacts.Of(new WithDrive(-12)).ToHtml());
        Assert.Contains("<td>0.62 s</td>", Shown.Html(new DecayFit(0.62, 1, -5, -25)));
        Assert.Contains("31.5 to 200 Hz; below: noise; above: sweep end.", Shown.Html(new TrustedBand(31.5, 200, new(Doubt.Noise, "noise"), new(Doubt.UpperEnd, "sweep end"))));
        var table = Shown.Html(new[] { new SmoothingWidth(20, 0.083333), new SmoothingWidth(200, 1) });
        Assert.Contains("<th scope=\"col\">frequency (Hz)</th><th scope=\"col\">width (octaves)</th>", table);
        Assert.Contains("<td style=\"text-align:right\">0.08333</td>", table);
    }

    [Fact]
    public void A_long_row_of_values_says_how_many_there_are_and_an_empty_one_that_there_is_none()
    {
        Assert.Contains("30 of 40 rows.", Shown.Html(Enumerable.Range(1, 40).Select(n => new SmoothingWidth(n, 1))));
        Assert.Contains("None.", Shown.Html(Array.Empty<ResponseResult>()));
    }

    private sealed record WithDrive(double DriveDb);

    private static T Made<T>(params object[] arguments) =>
        (T)Activator.CreateInstance(typeof(T), System.Reflection.BindingFlags.NonPublic | System.Reflection.BindingFlags.Public | System.Reflection.BindingFlags.Instance, null, arguments, null)!;

    private static Array Many(Type type, object value)
    {
        var many = Array.CreateInstance(type, 2);
        many.SetValue(value, 0);
        many.SetValue(value, 1);
        return many;
    }

    /// <summary>One value of every type that can be had from the study by its properties, and those made by hand that cannot.</summary>
    private Dictionary<Type, object> Reached()
    {
        var (found, queue) = (new Dictionary<Type, object>(), new Queue<object>());
        var study = views.Timed;
        var result = study.Responses[0];
        var curve = CalibrationCurve.Read(study.Survey.Microphones[0].Calibrations[0].Path);
        var sweep = SweepDesign.Of(StimulusDescription.Read(study.Survey.Stimuli[0].Path));
        foreach (var value in new object[]
        {
            study, StudyComparison.Of(study, views.Unknown), sweep, Stimulus.From(sweep.Description with { SweepSeconds = 0.5 }), result.BassDecay()!, result.ImpulseResponse.StepResponse(), result.PhaseParts()!, study.PredictedModes()!, curve,
            new BaffleDiffraction(0.34, 0.52, 0.17, 0.3, 0.08, 3, 343), Weighting.A, new BoxSize(0.3, 0.4, 0.5), result.Harmonics!,
            BoxFigureTests.Box, BoxFigureTests.Box.Splices[0].Splice, BoxFigureTests.Box.Diffraction!, MicrophoneFigureTests.Loft.Value.Microphones, MicrophoneFigureTests.Loft.Value.Microphones.SelectMany(microphone => microphone.Comparisons).First().Calibration(),
            CalibrationDrift.Between(curve, curve), SmoothingWidths.BandsOfHearing, WindowLengths.BandsOfHearing, SyntheticSeats.OfLevels(-3, 0, 2), Made<SeatResult>(study.Survey.Takes[0], SyntheticSeats.OfLevels(-3, 0, 2)),
            Made<LinearityResult>(study.Survey.Takes[0], study.Survey.Takes[0], new LinearityPoint[] { new(20, 0.1, 0.2, 0.3), new(40, 0.1, 0.4, 0.5) }, true, 0.3), result.LevelBand, result.Response.Grid, study.Findings[0], study.Decays[0].Octaves[2], study.Decays[0].Octaves[2].T20, MicrophoneFigureTests.Loft.Value.Microphones.SelectMany(microphone => microphone.Comparisons).First(), result.ImpulseResponse.BackwardIntegral(),
        }) queue.Enqueue(value);
        while (queue.TryDequeue(out var value))
        {
            if (value is System.Collections.IEnumerable many and not string && !Shown.Types.Contains(value.GetType()))
            {
                foreach (var one in many.Cast<object?>().Take(2)) if (one is not null) queue.Enqueue(one);
                continue;
            }
            if (!Shown.Types.Contains(value.GetType()) || !found.TryAdd(value.GetType(), value)) continue;
            foreach (var property in value.GetType().GetProperties().Where(property => property.GetIndexParameters().Length == 0 && property.GetMethod is { IsStatic: false }))
            {
                try
                {
                    if (property.GetValue(value) is { } next) queue.Enqueue(next);
                }
                catch (System.Reflection.TargetInvocationException thrown) when (thrown.InnerException is InvalidOperationException)
                {
                    // a fact that this value does not have
                }
            }
        }
        return found;
    }
}
