// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Seats;
using Sweepbook.Simulation;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Tests.Files;
using Sweepbook.Tests.Simulation;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>An invented room measured several times: what was planned to change is found, and what was not is not.</summary>
public sealed class MeasuredAgain : IDisposable
{
    private const string Subwoofer = "gain_db = -24.0";
    private readonly TemporaryFolder _folder = new();
    private readonly string _plan;

    public MeasuredAgain()
    {
        // Room noise 12 dB higher than in the small plan, so that there is something to average and chance has its say.
        _plan = Plans.Small.Replace("room_dbfs = -66.0", "room_dbfs = -54.0", StringComparison.Ordinal).Replace("self_dbfs = -90.0", "self_dbfs = -70.0", StringComparison.Ordinal);
        Before = Measured("before", 11, _plan);
        Weaker = Measured("weaker", 12, _plan.Replace(Subwoofer, "gain_db = -27.0", StringComparison.Ordinal));
    }

    public Study Before { get; }

    public Study Weaker { get; }

    /// <summary>The same room on another evening: other noise, other latencies.</summary>
    public Study Again(int seed) => Measured($"again-{seed}", seed, _plan);

    /// <summary>The same with every seat's microphone moved by so many centimetres in each direction.</summary>
    public Study PutBack(int seed) => Measured($"moved-{seed}", seed, _plan.Replace("[2.2, 1.8, 1.1]", "[2.22, 1.77, 1.12]", StringComparison.Ordinal).Replace("[3.6, 2.4, 1.1]", "[3.57, 2.43, 1.08]", StringComparison.Ordinal));

    public void Dispose() => _folder.Dispose();

    private Study Measured(string name, int seed, string plan)
    {
        var path = _folder.Put($"{name}.plan.toml", plan.Replace("seed = 11", FormattableString.Invariant($"seed = {seed}"), StringComparison.Ordinal));
        Simulator.Write(SimulationPlan.Read(path), _folder[name]);
        return Study.Of(Survey.Read(_folder[name]));
    }
}

public sealed class StudyComparisonTests(MeasuredAgain rooms) : IClassFixture<MeasuredAgain>
{
    private const double PlannedDb = -3;
    private const double LargestOfOneFrequencyDb = 15.75;   // 2 · √2 · 5.57 dB: see UncertaintyOfPosition
    private const double WantedShare = 0.05;   // 95 % intervals
    private const double BandOfOneLevelDb = 0.05;   // both levels of a band are rounded by their own noise only; see the limit beside it

    private static IEnumerable<SeatChange> Of(StudyComparison comparison, string source, ChangedQuantity quantity) => comparison.Changes.Where(row => row.Source == source && row.Quantity == quantity);

    [Fact]
    public void A_subwoofer_turned_down_by_three_decibels_is_found_within_the_repeatability_and_nothing_else_is()
    {
        var comparison = StudyComparison.Of(rooms.Before, rooms.Weaker);
        var levels = Of(comparison, "sub", ChangedQuantity.Level).ToList();
        Assert.True(levels.Count >= 10, $"{levels.Count} bands");   // two seats, 20 to 120 Hz
        Assert.All(levels, row => Assert.InRange(row.Difference, PlannedDb - row.Repeatability - BandOfOneLevelDb, PlannedDb + row.Repeatability + BandOfOneLevelDb));
        Assert.Contains(levels, row => row.IsSignificant);
        var headline = comparison.Findings.Single(finding => finding.Id == "level-change").Sentence;
        Assert.Contains("sub is 3.0 dB weaker (median) at 2 of 2 seats", headline);
        Assert.EndsWith("No change is shown for main.", headline);
        Assert.All(Of(comparison, "sub", ChangedQuantity.Spread), row => Assert.False(row.IsSignificant));   // every seat lost as much
    }

    [Fact]
    public void Where_nothing_changed_hardly_a_band_is_called_changed_and_no_sentence_speaks_of_one()
    {
        var rows = new List<SeatChange>();
        foreach (var seed in new[] { 21, 22, 23 })
        {
            var comparison = StudyComparison.Of(rooms.Before, rooms.Again(seed)).MicrophoneUntouched();   // nothing but noise explains anything
            rows.AddRange(comparison.Changes);
            Assert.StartsWith("No source changed", comparison.Findings.Single(finding => finding.Id == "level-change").Sentence);
        }
        Assert.InRange(rows.Count(row => row.IsSignificant), 0, WantedShare * rows.Count);
        Assert.True(rows.Count > 200, $"{rows.Count} figures");
        var peaks = rows.Where(row => row.Quantity == ChangedQuantity.SlowPeak).ToList();
        Assert.Contains(peaks, row => row.Reason.Length == 0);   // found both times, and the same
        Assert.All(peaks.Where(row => row.Reason.Contains("before: ", StringComparison.Ordinal) || row.Reason.Contains("after: ", StringComparison.Ordinal)), row => Assert.Equal((double.NaN, ""), (row.Repeatability, row.Basis)));
        Assert.Contains(rows, row => row.Quantity == ChangedQuantity.Level && Math.Abs(row.Difference) > row.Limit / 3);   // the limits are no walls
    }

    [Fact]
    public void A_microphone_put_back_some_centimetres_off_is_no_change_of_the_room()
    {
        var comparison = StudyComparison.Of(rooms.Before, rooms.PutBack(31));
        var levels = comparison.Changes.Where(row => row.Quantity == ChangedQuantity.Level).ToList();
        Assert.InRange(levels.Count(row => row.IsSignificant), 0, WantedShare * levels.Count);
        Assert.StartsWith("No source changed", comparison.Findings.Single(finding => finding.Id == "level-change").Sentence);
        Assert.All(levels.Where(row => row.Source == "main" && row.FromHz > 1000), row => Assert.InRange(row.SettingUp, 0.5, LargestOfOneFrequencyDb / 2));   // a band holds many independent values
        Assert.All(comparison.Changes.Where(row => row.Quantity == ChangedQuantity.Spread), row => Assert.True(row.SettingUp > 0.1 && !row.IsSignificant, $"{row.Source}: {row.Difference} dB, ± {row.SettingUp} dB"));
        Assert.True(comparison.MicrophoneUntouched().Changes.Count(row => row.Quantity == ChangedQuantity.Level && row.IsSignificant) > levels.Count / 4);   // and it would be one if it had stood still
    }

    [Fact]
    public void The_tables_hold_every_row_and_where_both_sides_come_from()
    {
        using var folder = new TemporaryFolder();
        var comparison = StudyComparison.Of(rooms.Before, rooms.Weaker);
        Assert.Equal(["comparison.csv", "findings.csv", "provenance.json"], comparison.WriteTables(folder["out"]));
        Assert.Equal(1 + comparison.Changes.Count + comparison.NotCompared.Count, File.ReadLines(Path.Combine(folder["out"], "comparison.csv")).Count());
        using var provenance = System.Text.Json.JsonDocument.Parse(File.ReadAllText(Path.Combine(folder["out"], "provenance.json")));
        foreach (var side in new[] { "before", "after" })
            Assert.Equal(64, provenance.RootElement.GetProperty(side).GetProperty("files").GetProperty("takes/sub_far.wav").GetString()!.Length);
        Assert.Contains("inside the survey folder", Assert.Throws<DataFault>(() => comparison.WriteTables(Path.Combine(rooms.Weaker.Survey.Folder, "out"))).Message);
    }

    [Fact]
    public void A_survey_is_not_compared_with_itself() =>
        Assert.Contains("one setting only (as-found)", Assert.Throws<ArgumentException>(() => StudyComparison.Of(rooms.Before, rooms.Before)).Message);

    [Fact]
    public void An_unknown_setting_is_named_with_those_there_are() =>
        Assert.Contains("no take in the setting \"tuned\"; it has as-found", Assert.Throws<ArgumentException>(() => StudyComparison.Of(rooms.Before, rooms.Weaker, null, "tuned")).Message);
}
