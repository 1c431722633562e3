// SPDX-License-Identifier: MIT
using System.Reflection;
using System.Text.RegularExpressions;
using Deedle;
using Sweepbook.Decay;
using Sweepbook.Impulses;
using Sweepbook.Microphones;
using Sweepbook.Rooms;
using Sweepbook.Seats;
using Sweepbook.Stimuli;
using Sweepbook.Studies;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>Rules that every figure and every table keeps, found by reflection, so that a new one is under them from its first day.</summary>
public sealed partial class AlternativeTests(ViewStudies views) : IClassFixture<ViewStudies>
{
    [Fact]
    public void The_text_alternative_of_every_figure_holds_a_number_with_its_unit()
    {
        var (without, made) = (new List<string>(), new HashSet<string>());
        foreach (var method in typeof(Figures).GetMethods(BindingFlags.Public | BindingFlags.Static))
        {
            foreach (var study in new[] { views.Timed, MicrophoneFigureTests.Loft.Value, BoxFigureTests.Analysed.Value })
            {
                if (Arguments(method, study) is not { } arguments) continue;
                try
                {
                    var result = method.Invoke(null, arguments);
                    foreach (var figure in result as IEnumerable<Figure> ?? [(Figure)result!])
                    {
                        made.Add(method.ToString()!);
                        if (!NumberWithUnit().IsMatch(figure.TextAlternative) && figure.Chart is not null && FigureTests.JsonOf(figure).GetProperty("data").GetArrayLength() > 0) without.Add($"{method.Name}: {figure.TextAlternative}");
                        if (figure.TextAlternative.Contains("  ", StringComparison.Ordinal) || figure.TextAlternative.Contains("Infinity", StringComparison.Ordinal) || figure.TextAlternative.Contains("NaN", StringComparison.Ordinal)
                            || EmptyPlace().IsMatch(figure.TextAlternative)) without.Add($"{method.Name}, words missing: {figure.TextAlternative}");
                    }
                }
                catch (TargetInvocationException thrown) when (thrown.InnerException is ArgumentException or InvalidOperationException)
                {
                    // this study has no such figure
                }
            }
        }
        Assert.True(without.Count == 0, string.Join('\n', without));
        var missing = typeof(Figures).GetMethods(BindingFlags.Public | BindingFlags.Static).Select(method => method.ToString()!).Where(name => !made.Contains(name)).ToArray();
        Assert.True(missing.All(name => NotMade.Any(word => name.Contains(word, StringComparison.Ordinal))), $"Not made by this test: {string.Join("; ", missing)}");
    }

    /// <summary>Figures that need several seats, a known sensitivity or audible harmonics, which these small surveys lack: SeatFigureTests, MicrophoneFigureTests and RoomReportTests read their words.</summary>
    private static readonly string[] NotMade = [" Seats(", " SeatSpread(", "SeatsFarthestApart(", "MicrophoneNoise(", "Distortion(Sweepbook.Studies.Study"];

    [Fact]
    public void Every_column_of_numbers_has_its_unit_in_its_title()
    {
        var study = views.Timed;
        var frames = new (string Name, Frame<int, string> Frame)[]
        {
            ("Takes", Tables.Takes(study)), ("Responses", Tables.Responses(study)), ("Findings", Tables.Findings(study)), ("Microphones", Tables.Microphones(MicrophoneFigureTests.Loft.Value)),
            ("SlowPeaks", Tables.SlowPeaks(study.Responses[0].SlowPeaks)), ("PredictedModes", Tables.PredictedModes(study.PredictedModes()!, 120, "sofa-centre")), ("Changes", Tables.Changes(Comparison, ChangedQuantity.Level)),
        };
        Assert.Equal(typeof(Tables).GetMethods(BindingFlags.Public | BindingFlags.Static).Select(method => method.Name).Distinct().Order(), frames.Select(frame => frame.Name).Order());
        foreach (var (name, frame) in frames)
            foreach (var (column, type) in frame.ColumnKeys.Zip(frame.ColumnTypes))
                if (type == typeof(double) || type == typeof(int))
                    Assert.True(column.EndsWith(')') && column.Contains('(') || Dimensionless.ContainsKey($"{name}.{column}"), $"{name}: \"{column}\" has no unit.");
    }

    private static readonly Dictionary<string, string> Dimensionless = new()
    {
        ["Findings.value"] = "each row has its own unit, in the next column",
        ["PredictedModes.at sofa-centre"] = "a mode shape, from −1 to 1",
    };

    [GeneratedRegex(@"\d ?(Hz|kHz|dB|dB\(A\)|ms|s|%|°|m)\b|\d ?[%°]")]
    private static partial Regex NumberWithUnit();

    [GeneratedRegex(@" at [ .,:;]|\( ?\)| of  ")]
    private static partial Regex EmptyPlace();

    /// <summary>Two evenings that were one: nothing changed, and the figures and tables say so.</summary>
    private StudyComparison Comparison => StudyComparison.Of(views.Timed, views.Unknown);

    private object?[]? Arguments(MethodInfo method, Study study)
    {
        var result = study.Responses.FirstOrDefault(response => response.Harmonics is not null && response.Seat.Length > 0) ?? study.Responses[0];
        var (texts, given) = (new Queue<string>(method.Name == nameof(Figures.Levels) ? ["Two curves"] : method.GetParameters()[..] is [{ ParameterType.Name: nameof(Study) or nameof(StudyComparison) }, ..] ? [result.Source, result.Seat] : [result.Source]), new List<object?>());
        foreach (var parameter in method.GetParameters())
        {
            var type = parameter.ParameterType;
            object? value = type == typeof(Study) ? study
                : type == typeof(string) ? texts.Dequeue()
                : type == typeof(ResponseResult) ? result
                : type == typeof(BoxResult) ? BoxFigureTests.Box
                : type == typeof(StudyComparison) ? Comparison
                : type == typeof(BandDecay) ? study.Decays.FirstOrDefault()?.Octaves[2]
                : type == typeof(IReadOnlyList<BandDecay>) ? study.Decays.FirstOrDefault()?.Octaves
                : type == typeof(Harmonics) ? result.Harmonics
                : type == typeof(DecayMap) ? result.BassDecay()
                : type == typeof(SeatSet) ? SyntheticSeats.OfLevels(-3, 0, 2)
                : type == typeof(SweepDesign) ? SweepDesign.Of(StimulusDescription.Read(views.Timed.Survey.Stimuli[0].Path))
                : type == typeof(IReadOnlyList<SweepDesign>) ? Array.Empty<SweepDesign>()
                : type == typeof(ImpulseWindow) ? result.Window
                : type == typeof(MicrophoneComparison) ? MicrophoneFigureTests.Loft.Value.Microphones.SelectMany(microphone => microphone.Comparisons).First()
                : type == typeof(double?) ? 2.0
                : type == typeof(double) ? parameter.Name == "fromHz" ? 20.0 : 200.0
                : type == typeof(IReadOnlyList<(string, Spectra.Response)>) ? new[] { ("one", result.Response) }
                : null;
            if (value is null) return null;
            given.Add(value);
        }
        return [.. given];
    }
}
