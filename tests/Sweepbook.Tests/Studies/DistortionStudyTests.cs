// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Studies;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class DistortionStudyTests
{
    private const double WithinDb = 0.15;   // 0.1 dB of the reading (issue), and noise 50 dB below the harmonic in a sixth of an octave
    private static readonly double Amplitude = 0.5 * Decibels.ToAmplitudeRatio(SmallSurvey.Design.Description.LevelDbfs);   // MaskScene plays at half the design

    [Fact]
    public void A_take_tells_the_harmonics_of_its_square_and_the_finding_names_the_highest()
    {
        const double A2 = 0.4;   // below 100 Hz; above it a quarter of that
        using var folder = new SmallSurvey();
        folder.Add("a.wav", MaskScene.Played((x, frequencyHz) => 0.5 * (x + A2 * (frequencyHz < 100 ? 1 : 0.25) * x * x), noise: 1e-6));
        var study = Study.Of(folder.Read());
        var harmonics = Assert.Single(study.Responses).Harmonics!;
        var expectedDb = Decibels.FromAmplitude(A2 * Amplitude / 2);   // fact sheet 5.8
        foreach (var point in harmonics.OfOrder(2).Where(point => point.FundamentalHz is > 32 and < 75)) Assert.Equal(expectedDb, point.LevelDb, WithinDb);
        foreach (var point in harmonics.OfOrder(2).Where(point => point.FundamentalHz is > 140 and < 4000)) Assert.Equal(expectedDb - 12.04, point.LevelDb, WithinDb);
        var finding = Assert.Single(study.Findings, finding => finding.Id == "distortion");
        Assert.Equal("main", finding.Subject);
        Assert.InRange(finding.Value, 0.97 * 50 * A2 * Amplitude, 1.15 * 50 * A2 * Amplitude);   // the highest of many, round a step
        Assert.Contains("most of it in harmonic 2.", finding.Sentence);
        Assert.Equal(Severity.Note, finding.Severity);
    }

    [Fact]
    public void A_calibration_moves_a_harmonic_by_what_it_says_at_the_harmonic_and_at_the_fundamental()
    {
        using var folder = new SmallSurvey(microphone: "calibration = \"omni.txt\"");
        folder.WriteCalibration("10 0\n100 0\n200 6\n20000 6\n");   // the microphone adds 6 dB from 200 Hz on: a second harmonic of 120 to 190 Hz read 6 dB less its own part too high
        folder.Add("a.wav", MaskScene.Played((x, _) => 0.5 * (x + 0.4 * x * x), noise: 1e-6));
        var result = Assert.Single(Study.Of(folder.Read()).Responses);
        foreach (var point in result.Harmonics!.OfOrder(2).Where(point => point.FundamentalHz is > 50 and < 190))
        {
            static double MicrophoneDb(double frequencyHz) => 6 * Math.Clamp(Math.Log2(frequencyHz / 100), 0, 1);
            Assert.Equal(Decibels.FromAmplitude(0.2 * Amplitude) - MicrophoneDb(2 * point.FundamentalHz) + MicrophoneDb(point.FundamentalHz), point.LevelDb, WithinDb);
        }
    }

    [Fact]
    public void Beyond_the_microphone_a_harmonic_is_doubted_though_its_fundamental_is_not()
    {
        using var folder = new SmallSurvey(microphone: "highest_hz = 500.0");
        folder.Add("a.wav", MaskScene.Played((x, _) => 0.5 * (x + 0.4 * x * x), noise: 1e-6));
        var result = Assert.Single(Study.Of(folder.Read()).Responses);
        string Doubt(double fundamentalHz) => result.DoubtOf(result.Harmonics!.OfOrder(2).MinBy(point => Math.Abs(point.FundamentalHz - fundamentalHz)));
        Assert.Equal("", Doubt(200));
        Assert.StartsWith("harmonic: ", Doubt(400), StringComparison.Ordinal);
        Assert.StartsWith("fundamental: ", Doubt(800), StringComparison.Ordinal);
    }

    [Fact]
    public void The_gain_of_a_loopback_has_no_part_in_it()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(0, 0.5)], loopback: 0.1, noise: 1e-6);
        folder.Add("b.wav", [(0, 0.5)], loopback: 0.9, noise: 1e-6, keys: "drive_db = 0.0");
        var floors = Study.Of(folder.Read()).Responses.Select(result => result.Harmonics!.OfOrder(2).First(point => point.FundamentalHz > 1000).FloorDb).ToList();
        Assert.Equal(floors[0], floors[1], 1e-6);
    }

    [Fact]
    public void The_table_has_a_row_per_fundamental_and_harmonic_and_marks_bounds()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", MaskScene.Played((x, _) => 0.5 * (x + 0.4 * x * x)));
        var target = Directory.CreateTempSubdirectory("sweepbook-test-").FullName;
        try
        {
            var study = Study.Of(folder.Read());
            var written = study.WriteTables(target);
            Assert.Contains("distortion.csv", written);
            Assert.DoesNotContain("linearity.csv", written);
            var lines = File.ReadAllLines(Path.Combine(target, "distortion.csv"));
            Assert.Equal("source,setting,seat,microphone,stimulus,field,distance_mm,angle_deg,drive_db,input_gain_db,frequency_hz,harmonic,level_db,level_percent,phase_deg,floor_db,is_bound,trusted,reason", lines[0]);
            var harmonics = study.Responses[0].Harmonics!;
            Assert.Equal(1 + harmonics.Total.Count + Enumerable.Range(2, 4).Sum(order => harmonics.OfOrder(order).Count), lines.Length);
            var rows = lines[1..].Select(line => line.Split(',')).ToList();
            Assert.Equal(["2", "3", "4", "5", "thd"], rows.Select(row => row[11]).Distinct());
            Assert.All(rows, row => Assert.False(row[16] == "true" && row[17] == "true", "a bound is no trusted value"));
            Assert.Contains(rows, row => row[10] == "1000.00" && row[11] == "2" && row[17] == "true");
            Assert.Contains(rows, row => row[10] == "1000.00" && row[11] == "4" && row[16] == "true" && row[18].StartsWith("\"floor: at most this", StringComparison.Ordinal));
        }
        finally
        {
            Directory.Delete(target, recursive: true);
        }
    }

    [Fact]
    public void A_recorded_impulse_has_no_harmonics_and_no_table()
    {
        using var folder = new SmallSurvey();
        var clap = new double[48_000];
        clap[10_000] = 0.5;
        folder.Add("a.wav", new Sweepbook.Files.Recording(SmallSurvey.Rate, [clap, clap]), "impulse = true\ntime_zero = \"unknown\"");
        var study = Study.Of(folder.Read());
        Assert.All(study.Responses, result => Assert.Null(result.Harmonics));
        Assert.Null(DistortionTable.Of(study));
    }

    [Fact]
    public void A_bass_that_outlasts_the_lead_of_the_second_harmonic_is_told_with_the_sweep_it_would_need()
    {
        using var folder = new SmallSurvey();
        var hiss = Signals.Noise(SmallSurvey.Rate, 5);
        var room = Enumerable.Range(0, SmallSurvey.Rate * 3 / 4).Select(n => (n, 0.02 * hiss[n] * Math.Exp(-6.91 * n / (0.6 * SmallSurvey.Rate)))).ToArray();   // 60 dB in 0.6 s everywhere
        folder.Add("a.wav", room, noise: 1e-6);
        var study = Study.Of(folder.Read());
        var lead = 3 / Math.Log(2000) * Math.Log(2);   // fact sheet 5.2: 0.274 s
        var finding = Assert.Single(study.Findings, finding => finding.Id == "harmonic-lead");
        Assert.Equal(lead, finding.Value, 1e-9);
        Assert.Contains("longer than the 0.27 s by which the second harmonic of the stimulus full comes before the response", finding.Sentence);
    }

    /// <summary>What runs into the response at 2f is the harmonic of f: its level re the response there is that re the fundamental, and by how much the response is louder at f than at 2f.</summary>
    [Fact]
    public void What_runs_into_the_response_is_told_relative_to_the_response_there_and_not_to_the_fundamental_an_octave_below()
    {
        using var folder = new SmallSurvey();
        var (played, hiss) = (MaskScene.Played((x, frequencyHz) => x * (frequencyHz < 30 ? 0.25 : 1) + 0.3 * x * x, noise: 0), Signals.Noise(SmallSurvey.Rate, 5));
        double[] room = [.. Enumerable.Range(0, SmallSurvey.Rate * 3 / 4).Select(n => 0.02 * hiss[n] * Math.Exp(-6.91 * n / (0.6 * SmallSurvey.Rate)))];
        var noise = Signals.Noise(SmallSurvey.Design.Length, 6);
        double[] heard = [.. Signals.Convolved(played.Channel(1), room, SmallSurvey.Design.Length).Select((x, n) => x + 1e-6 * noise[n])];
        folder.Add("a.wav", new Sweepbook.Files.Recording(SmallSurvey.Rate, [heard, played.Channel(2)]));
        var study = Study.Of(folder.Read());
        var result = Assert.Single(study.Responses);
        var sentence = Assert.Single(study.Findings, finding => finding.Id == "harmonic-lead").Sentence;
        var told = System.Text.RegularExpressions.Regex.Match(sentence, @"^At (?<band>[\d.]+) Hz .*, (?<fallen>\d+) dB down by then, .*\(−(?<level>[\d.]+) dB re the response at the most");
        Assert.True(told.Success, sentence);
        double Number(string name) => double.Parse(told.Groups[name].Value, System.Globalization.CultureInfo.InvariantCulture);
        double MeanDb(double atHz) => Decibels.FromPower(result.Response.Points().Where(point => Math.Abs(Math.Log2(point.FrequencyHz / atHz)) < 1 / 12.0).Average(point => point.PowerRatio));
        var wantedDb = result.Harmonics!.OfOrder(2).Where(point => point.IsTrusted && Math.Abs(Math.Log2(point.FundamentalHz / (Number("band") / 2))) <= 0.5)
            .Max(point => point.LevelDb + MeanDb(point.FundamentalHz) - MeanDb(2 * point.FundamentalHz)) - Number("fallen");
        Assert.Equal(wantedDb, -Number("level"), 0.5 + WithinDb);   // the fall is printed to whole decibels
    }

    [Fact]
    public void Of_several_seats_the_decay_of_all_together_is_told_and_not_the_longest_by_chance()
    {
        using var folder = new SmallSurvey();
        foreach (var (seat, seed) in new[] { ("sofa", 5ul), ("chair", 8ul) }) folder.Add($"{seat}.wav", Room(seed), noise: 1e-6, seat: seat);
        var study = Study.Of(folder.Read());
        var together = study.Decays.Single(result => result.Seat == DecayResult.EnsembleSeat).ThirdOctaves.Where(decay => decay.Band.UpperHz < 240).Select(decay => decay.T30.IsValid ? decay.T30 : decay.T20).Where(time => time.IsValid).ToList();
        var told = System.Text.RegularExpressions.Regex.Match(Assert.Single(study.Findings, finding => finding.Id == "harmonic-lead").Sentence, @"the room takes (?<time>[\d.]+) s to decay \(main, all seats together\)");
        Assert.True(told.Success);
        Assert.Equal(together.MaxBy(time => time.Value - time.Uncertainty).Value, double.Parse(told.Groups["time"].Value, System.Globalization.CultureInfo.InvariantCulture), 0.005001);   // printed to hundredths
    }

    /// <summary>A sweep from 150 Hz plays nothing whose second harmonic lies below 300 Hz: the bass cannot carry any of it, however long it lasts.</summary>
    [Fact]
    public void A_bass_that_no_second_harmonic_reaches_is_not_told()
    {
        using var folder = new SmallSurvey();
        var high = Sweepbook.Stimuli.Stimulus.From(SmallSurvey.Design.Description with { StartHz = 150, File = null, Sha256 = null });
        foreach (var old in new[] { "full.toml", "full.wav" }) File.Delete(Path.Combine(folder.Folder, "stimuli", old));
        high.Write(Path.Combine(folder.Folder, "stimuli", "full.toml"));
        double[] room = [.. new double[SmallSurvey.LatencySamples], .. Room(5).Select(entry => entry.Value)];
        var noise = Signals.Noise(high.Length, 6);
        double[] heard = [.. Signals.Convolved(high.ToArray(), room, high.Length).Select((x, n) => 0.5 * x + 1e-6 * noise[n])];
        folder.Add("a.wav", new Sweepbook.Files.Recording(SmallSurvey.Rate, [heard, high.ToArray()]));
        var study = Study.Of(folder.Read());
        Assert.Contains(study.Decays.SelectMany(result => result.ThirdOctaves), decay => decay.Band.UpperHz < 240 && decay.T20.IsValid && decay.T20.Value > 3 / Math.Log(20_000 / 150.0) * Math.Log(2));   // it outlasts the lead all the same
        Assert.DoesNotContain(study.Findings, finding => finding.Id == "harmonic-lead");
    }

    /// <summary>A room that decays by 60 dB in 0.6 s at all frequencies.</summary>
    private static (int Sample, double Value)[] Room(ulong seed)
    {
        var hiss = Signals.Noise(SmallSurvey.Rate, seed);
        return [.. Enumerable.Range(0, SmallSurvey.Rate * 3 / 4).Select(n => (n, 0.02 * hiss[n] * Math.Exp(-6.91 * n / (0.6 * SmallSurvey.Rate))))];
    }

    [Fact]
    public void A_dry_response_is_not_told_to_outlast_it()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(100, 0.5), (400, 0.1)], noise: 1e-6);
        Assert.DoesNotContain(Study.Of(folder.Read()).Findings, finding => finding.Id == "harmonic-lead");
    }
}
