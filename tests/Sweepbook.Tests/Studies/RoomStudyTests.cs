// SPDX-License-Identifier: MIT
using Sweepbook.Studies;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class RoomStudyTests
{
    private const string Box = "[room]\nlength_m = 6\nwidth_m = 4\nheight_m = 2.5\n";
    private static readonly (int, double)[] Direct = [(480, 0.5)];

    [Fact]
    public void A_seat_in_the_middle_of_the_room_sits_in_a_node_and_is_told_so()
    {
        using var folder = new SmallSurvey(top: Box, seat: "position_m = [3, 0.5, 0.4]", source: "position_m = [0.1, 2, 0.1]");
        folder.Add("a.wav", Direct);
        var findings = Study.Of(folder.Read()).Findings;
        var seat = findings.Single(finding => finding.Id == "seat-in-node");
        Assert.Equal(("sofa", Severity.Note), (seat.Subject, seat.Severity));
        Assert.Equal(28.6, seat.Value, 0.05);   // 343.2 / 12
        Assert.StartsWith("sofa sits in a node of the predicted axial modes 1,0,0 at 28.6 Hz and 3,0,0 at", seat.Sentence, StringComparison.Ordinal);
        Assert.StartsWith("main stands in a node of the predicted axial mode 0,1,0 at 42.9 Hz", findings.Single(finding => finding.Id == "source-in-node").Sentence, StringComparison.Ordinal);
        var room = findings.Single(finding => finding.Id == "room-modes");
        Assert.Contains("6.00 × 4.00 × 2.50 m", room.Sentence, StringComparison.Ordinal);
        Assert.Contains("the lowest at 28.6 Hz (1,0,0)", room.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void The_decay_in_the_middle_of_the_band_tells_where_single_resonances_end()
    {
        using var folder = new SmallSurvey(top: Box);
        var draws = new Random(5);
        folder.Add("a.wav", [(480, 0.2), .. Enumerable.Range(481, 12_000).Select(n => (n, 0.02 * (draws.NextDouble() - 0.5) * Math.Pow(10, -3 * (n - 480) / (0.3 * SmallSurvey.Rate))))], source: "main");
        var study = Study.Of(folder.Read());
        var (middle, limit) = (study.RoomFindings.Single(finding => finding.Id == "decay-middle"), study.RoomFindings.Single(finding => finding.Id == "schroeder-frequency"));
        Assert.Equal(2000 * Math.Sqrt(middle.Value / 60), limit.Value, 1e-9);   // fact sheet 8.6; 6 × 4 × 2.5 m
        Assert.Contains("this room of 60 m³", limit.Sentence, StringComparison.Ordinal);
        Assert.Empty(RoomStudy.Schroeder(study, []));
        using var without = new SmallSurvey();
        without.Add("a.wav", Direct);
        Assert.Empty(RoomStudy.Schroeder(Study.Of(without.Read()), [middle]));
    }

    [Fact]
    public void A_position_outside_the_room_is_a_finding_and_no_crash()
    {
        using var folder = new SmallSurvey(top: Box, seat: "position_m = [7, 0.5, 0.4]", source: "position_m = [0.1, 2, 0.1]");
        folder.Add("a.wav", Direct);
        var study = Study.Of(folder.Read());
        Assert.Equal("sofa", study.PredictedModes()!.PlacesOutside.Single().Name);
        Assert.Contains(study.Findings, finding => finding.Id == "survey-note" && finding.Sentence.Contains("sofa stands outside the room", StringComparison.Ordinal));
        Assert.DoesNotContain(study.Findings, finding => finding.Id == "seat-in-node");
    }

    [Fact]
    public void The_table_has_a_row_per_mode_and_place()
    {
        using var folder = new SmallSurvey(top: Box, seat: "position_m = [3, 0.5, 0.4]", source: "position_m = [0, 0, 0]");
        folder.Add("a.wav", Direct);
        var study = Study.Of(folder.Read());
        var rows = Written(study)!;
        Assert.Equal("order,kind,frequency_hz,place,place_kind,shape,in_node", rows[0]);
        Assert.Equal("\"1,0,0\",axial,28.6012,sofa,seat,0.00000,true", rows[1]);
        Assert.Equal("\"1,0,0\",axial,28.6012,main,source,1.00000,false", rows[2]);
        Assert.Equal(2 * study.PredictedModes()!.Modes.Count, rows.Length - 1);
    }

    [Fact]
    public void A_room_without_positions_gives_its_modes_and_a_survey_without_a_room_gives_no_table()
    {
        using var folder = new SmallSurvey(top: Box);
        folder.Add("a.wav", Direct);
        Assert.Equal("\"1,0,0\",axial,28.6012,,,,", Written(Study.Of(folder.Read()))![1]);
        using var without = new SmallSurvey();
        without.Add("a.wav", Direct);
        var study = Study.Of(without.Read());
        Assert.Null(study.PredictedModes());
        Assert.Null(RoomTable.Of(study));
        Assert.DoesNotContain(study.Findings, finding => finding.Id == "room-modes");
    }

    [Theory]
    [InlineData("length_m = 6\nwidth_m = 4\nheight_m = 2.5", 120)]
    [InlineData("length_m = 40\nwidth_m = 25\nheight_m = 12", 0)]
    [InlineData("length_m = 200\nwidth_m = 200\nheight_m = 200", 0)]
    public void A_hall_gives_its_first_three_hundred_modes_and_no_more(string sides, double limitHz)
    {
        const double Staircase = 0.1;   // the expected number is a smooth mean of the counted one, which jumps by many in a cube
        using var folder = new SmallSurvey(top: $"[room]\n{sides}\n");
        folder.Add("a.wav", Direct);
        var modes = Study.Of(folder.Read()).PredictedModes()!;
        if (limitHz > 0) Assert.Equal(limitHz, modes.BelowHz);
        else Assert.InRange(modes.Modes.Count, 300 * (1 - Staircase), 300 * (1 + Staircase));
    }

    [Fact]
    public void The_files_are_written_with_the_rest()
    {
        using var folder = new SmallSurvey(top: Box);
        folder.Add("a.wav", Direct);
        folder.Add("b.wav", Direct, seat: "chair");
        var output = Directory.CreateTempSubdirectory("sweepbook-out-").FullName;
        try
        {
            var names = Study.Of(folder.Read()).WriteTables(output);
            Assert.Contains("seats.csv", names);
            Assert.Contains("predicted-modes.csv", names);
            Assert.All(names, name => Assert.True(File.Exists(Path.Combine(output, name)), name));
        }
        finally
        {
            Directory.Delete(output, recursive: true);
        }
    }

    private static string[]? Written(Study study)
    {
        if (RoomTable.Of(study) is not { } table) return null;
        using var stream = new MemoryStream();
        table.Write(stream);
        return System.Text.Encoding.UTF8.GetString(stream.ToArray()).TrimEnd('\n').Split('\n');
    }
}
