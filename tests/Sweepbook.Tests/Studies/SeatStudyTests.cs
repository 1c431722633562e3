// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Studies;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class SeatStudyTests
{
    private const double NoiseDb = 0.05;   // noise of 1e-5 in the takes, as in StudyTests
    private static readonly (int, double)[] Direct = [(480, 0.5)];

    [Fact]
    public void Two_seats_of_known_levels_give_their_means_and_their_spread()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Direct);
        folder.Add("b.wav", [(480, 0.125)], seat: "chair");   // 12.04 dB weaker, in phase
        var seats = Study.Of(folder.Read()).SeatsOf("main");
        var k = Enumerable.Range(0, seats.Grid.Count).MinBy(k => Math.Abs(seats.Grid[k] - 1000));
        Assert.Equal(10 * Math.Log10((1 + 1 / 16.0) / 2), seats[k].PowerMeanDb, NoiseDb);
        Assert.Equal(-6.02, seats[k].LevelMeanDb, NoiseDb);
        Assert.Equal(6.02, seats[k].SpreadDb, NoiseDb);
        Assert.Equal(12.04, seats[k].RangeDb, NoiseDb);
        Assert.Equal(0.625, seats.ComplexMean()[k].Magnitude, 0.005);
    }

    [Fact]
    public void The_weights_are_those_of_the_survey()
    {
        using var folder = new SmallSurvey(seat: "weight = 3");
        folder.Add("a.wav", Direct);
        folder.Add("b.wav", [(480, 0.125)], seat: "chair");
        var study = Study.Of(folder.Read());
        var seats = study.SeatsOf("main");
        Assert.Contains("seats weighted as stated, divided by the sum of the weights;", study.Findings.Single(finding => finding.Id == "seat-spread").Sentence, StringComparison.Ordinal);
        Assert.Equal(-12.04 / 4, seats.LevelMeanDb()[seats.Grid.Count / 2], NoiseDb);
    }

    [Fact]
    public void A_seat_of_weight_zero_leaves_one_and_nothing_is_compared()
    {
        using var folder = new SmallSurvey(seat: "weight = 0");
        folder.Add("a.wav", Direct);
        folder.Add("b.wav", Direct, seat: "chair");
        var study = Study.Of(folder.Read());
        Assert.Empty(study.SeatResults());
        Assert.Contains("no two seats to compare for \"main\"", Assert.Throws<ArgumentException>("source", () => study.SeatsOf("main")).Message, StringComparison.Ordinal);
        Assert.Contains("Seats cannot be compared", study.Findings.Single(finding => finding.Id == "seat-difference").Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void The_findings_give_both_variances_and_their_divisor()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Direct, noise: 1e-6);
        folder.Add("b.wav", [(480, 0.125)], noise: 1e-6, seat: "chair");
        var finding = Study.Of(folder.Read()).Findings.Single(finding => finding.Id == "seat-spread");
        Assert.Equal(("main", "dB²", Severity.Note), (finding.Subject, finding.Unit, finding.Severity));
        Assert.Equal(6.02 * 6.02, finding.Value, 0.2);
        Assert.Contains("the 2 seats differ by 6.0 dB from 20", finding.Sentence, StringComparison.Ordinal);
        Assert.Contains("divided by the number of seats; mean spatial variance 36.", finding.Sentence, StringComparison.Ordinal);
        Assert.Contains("variance of the spatial mean 0.0 dB²", finding.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void A_dip_into_the_noise_says_at_least()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Direct, noise: 0.01);
        folder.Add("b.wav", [(480, 0.25), (480 + 480, 0.2499)], noise: 0.01, seat: "chair");   // 10 ms apart: dips at 50 Hz, 150 Hz …
        var study = Study.Of(folder.Read());
        Assert.Contains(study.SeatsOf("main").Points(), point => point is { IsTrusted: true, IsLowerBound: true, FrequencyHz: > 45 and < 55 });
        Assert.Contains("seats differ by at least", study.Findings.Single(finding => finding.Id == "seat-spread").Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void Recordings_of_different_rates_are_not_compared_and_that_is_said()
    {
        using var folder = new SmallSurvey();
        foreach (var (seat, rate) in new[] { ("sofa", 16_000), ("chair", 32_000) })
        {
            var samples = Signals.Noise(rate, 9).Select(x => x * 1e-6).ToArray();
            samples[rate / 5] = 0.5;
            folder.Add($"{seat}.wav", new Recording(rate, [samples, samples]), "impulse = true\ntime_zero = \"unknown\"", seat: seat);
        }
        var study = Study.Of(folder.Read());
        Assert.Empty(study.SeatResults());
        Assert.Contains("different sample rates (16000 Hz and 32000 Hz)", study.Findings.Single(finding => finding.Id == "seats-not-compared").Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void A_seat_measured_twice_counts_once()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Direct, keys: "time_zero = \"unknown\"");
        folder.Add("b.wav", Direct, keys: "time_zero = \"unknown\"\nmicrophone_channel = 2");
        folder.Add("c.wav", Direct, keys: "time_zero = \"unknown\"", seat: "chair");
        Assert.Equal(["sofa", "chair"], Study.Of(folder.Read()).SeatsOf("main").Seats.Select(seat => seat.Seat));
    }

    [Fact]
    public void The_table_has_a_row_per_commonly_trusted_frequency_and_breaks_where_one_seat_is_not()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Direct);
        folder.Add("b.wav", [(480, 0.125)], seat: "chair");
        var study = Study.Of(folder.Read());
        var rows = Written(SeatTable.Of(study));
        Assert.Equal("source,setting,microphone,stimulus,drive_db,input_gain_db,frequency_hz,power_mean_db,level_mean_db,complex_mean_db,level_reference,spread_db,spread_is_lower_bound,min_db,max_db,seats,trusted,reason", rows[0]);
        var points = study.SeatsOf("main").Points().ToList();
        Assert.Equal(points.FindLastIndex(point => point.IsTrusted) - points.FindIndex(point => point.IsTrusted) + 1, rows.Length - 1);
        Assert.StartsWith("main,as-found,omni,full,,,", rows[1], StringComparison.Ordinal);
        Assert.Contains(",relative to the loopback,6.", rows[300], StringComparison.Ordinal);
        Assert.EndsWith(",2,true,", rows[300], StringComparison.Ordinal);
    }

    [Fact]
    public void Without_a_time_zero_the_complex_mean_is_empty_and_the_rest_stays()
    {
        using var folder = new SmallSurvey();
        foreach (var seat in new[] { "sofa", "chair" }) folder.Add($"{seat}.wav", Direct, keys: "time_zero = \"unknown\"", seat: seat);
        var columns = Written(SeatTable.Of(Study.Of(folder.Read())))[300].Split(',');
        Assert.Equal(("", true), (columns[9], columns[8].Length > 0));
    }

    private static string[] Written(CsvTable table)
    {
        using var stream = new MemoryStream();
        table.Write(stream);
        return System.Text.Encoding.UTF8.GetString(stream.ToArray()).TrimEnd('\n').Split('\n');
    }
}
