// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Decay;
using Sweepbook.Files;
using Sweepbook.Stimuli;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Tests.HouseRules;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>Decays of whole surveys: what becomes a row, what becomes a sentence, and the invented room whose decay times are known.</summary>
public sealed class DecayStudyTests
{
    private static readonly Lazy<Study> Demo = new(() => Study.Of(Survey.Read(Repository.Path("data-demo", "orchard-row"))));

    [Fact]
    public void The_invented_room_decays_as_it_was_planned()
    {
        // data-demo/orchard-row.plan.toml; straight lines over log frequency between these, so a band holds a little of its neighbours.
        (double LabelHz, double T60)[] plan = [(63, 0.55), (250, 0.40), (500, 0.36), (1000, 0.34), (2000, 0.33), (4000, 0.31), (8000, 0.27)];
        const double Slope = 0.03;   // of T over the width of an octave
        var ensemble = Demo.Value.Decays.Single(result => result.Source == "main-left" && result.Seat == DecayResult.EnsembleSeat);
        foreach (var (labelHz, t60) in plan)
        {
            var found = ensemble.Octaves.At(labelHz).T30;
            Assert.Equal(t60, found.Value, Slope * t60 + 3 * found.Uncertainty);
        }
    }

    [Fact]
    public void Every_response_in_the_room_has_decays_and_every_source_both_means()
    {
        var (study, decays) = (Demo.Value, Demo.Value.Decays);
        Assert.Equal(study.Responses.Select(result => (result.Source, result.Seat)), decays.Where(result => !result.IsMean).Select(result => (result.Source, result.Seat)));
        Assert.Equal(["main-left", "sub-front", "sub-rear"], decays.Where(result => result.Seat == DecayResult.MeanSeat).Select(result => result.Source).Order());
        Assert.Equal(["main-left", "sub-front", "sub-rear"], decays.Where(result => result.Seat == DecayResult.EnsembleSeat).Select(result => result.Source).Order());
        Assert.All(decays, result => Assert.Equal((9, 27), (result.Octaves.Count, result.ThirdOctaves.Count)));
        Assert.All(decays, result => Assert.Equal(result.IsMean ? 5 : 1, result.Places));
    }

    [Fact]
    public void A_subwoofer_has_no_decay_times_above_its_band_and_says_why()
    {
        foreach (var result in Demo.Value.Decays.Where(result => result.Source == "sub-front"))
        {
            Assert.False(result.Octaves.At(1000).T20.IsValid);
            Assert.StartsWith("range", result.Octaves.At(1000).T20.Reason);
        }
    }

    [Fact]
    public void No_seat_can_be_called_like_a_mean()
    {
        foreach (var label in new[] { DecayResult.MeanSeat, DecayResult.EnsembleSeat })
        {
            using var folder = new SmallSurvey();
            folder.Read();
            var path = Path.Combine(folder.Folder, "survey.toml");
            File.WriteAllText(path, File.ReadAllText(path).Replace("\"sofa\"", $"\"{label}\"", StringComparison.Ordinal));
            Assert.Throws<DataFault>(() => Survey.Read(folder.Folder));
        }
    }

    [Fact]
    public void The_table_has_one_row_per_figure_with_its_circumstances_and_the_label_of_its_band()
    {
        var rows = Rows(Demo.Value, out var header);
        Assert.Equal("source,setting,seat,microphone,stimulus,field,distance_mm,angle_deg,drive_db,input_gain_db,bandwidth,band_hz,quantity,value,unit,uncertainty,range_db,nonlinearity_permille,curvature_percent,valid,reason", header);
        Assert.Equal(Demo.Value.Decays.Count * 36 * 8, rows.Count);
        Assert.Equal(rows.Count, rows.Select(row => string.Join(',', row[..13])).Distinct().Count());
        Assert.Equal(["edt", "t20", "t30", "late", "c50", "c80", "d50", "ts"], rows.Take(8).Select(row => row[12]));
        Assert.Contains(rows, row => row[10] == "third" && row[11] == "31.5000");
        foreach (var row in rows)
        {
            Assert.Equal(row[19] == "true", row[13].Length > 0);      // a figure is either given or not
            if (row[13].Length == 0) Assert.NotEqual("", row[20]);    // and if not, it says why
        }
        var one = rows.Single(row => row[0] == "main-left" && row[2] == DecayResult.MeanSeat && row[10] == "octave" && row[11] == "1000.00" && row[12] == "t30");
        Assert.Equal(Demo.Value.Decays.Single(result => result.Source == "main-left" && result.Seat == DecayResult.MeanSeat).Octaves.At(1000).T30.Value, double.Parse(one[13], CultureInfo.InvariantCulture), 1e-6);
    }

    [Fact]
    public void The_findings_read_like_sentences()
    {
        var findings = DecayFindings.Of(Demo.Value).ToList();
        var middle = Assert.Single(findings, finding => finding.Id == "decay-middle");   // the subwoofers have no middle
        Assert.Matches(@"^Between 500 Hz and 1 kHz the sound of main-left decays by 60 dB in 0\.3\d s \(T30, mean of 4 of 5 seats, ±0\.01 s by chance\)\.$", middle.Sentence);
        Assert.Equal(3, findings.Count(finding => finding.Id == "decay-bass"));
        Assert.All(findings.Where(finding => finding.Id == "decay-bass"), finding => Assert.InRange(finding.Value, 0.5, 0.8));   // the plan has 0.62 s at 31.5 Hz and below
        Assert.All(findings.Where(finding => finding.Id == "decay-bass"), finding => Assert.Matches(@"stays longest at (31\.5|40|50) Hz: 0\.\d\d s \(5 seats together, T30, ±0\.0\d s by chance\)\.$", finding.Sentence));
        Assert.DoesNotContain(findings, finding => finding.Id == "decay-curved");   // the invented room decays evenly: a twentieth of its third octaves bend by chance
        Assert.Matches(@"cannot be given, at 25 Hz, because the band is too narrow for so short a decay\.$", findings.First(finding => finding.Id == "decay-not-given").Sentence);
        Assert.All(findings, finding => Assert.True(finding.Severity != Severity.Fault && finding.Sentence.EndsWith('.')));
        Assert.Equal(findings, Demo.Value.Findings.Where(finding => finding.Id.StartsWith("decay", StringComparison.Ordinal)));
        Assert.DoesNotContain(Demo.Value.Findings.Take(Study.Headlines), finding => finding.Id.StartsWith("decay", StringComparison.Ordinal));
    }

    [Fact]
    public void Decays_that_bend_become_a_finding()
    {
        using var folder = new SmallSurvey();
        Record(folder, SmallSurvey.Design.Description, clippedSamples: 0, secondSlopeDb: -25);
        var finding = Assert.Single(DecayFindings.Of(Study.Of(folder.Read())), finding => finding.Id == "decay-curved");
        Assert.Equal(Severity.Caution, finding.Severity);
        Assert.InRange(finding.Value, 6, 27);   // below 400 Hz chance alone bends as much
        Assert.Matches(@"^\d+ of \d+ third-octave decays of main bend, so that their T30 and T20 differ by more than 10 % and by more than chance, and one number does not tell them: ", finding.Sentence);
    }

    [Fact]
    public void Near_field_takes_have_no_decay_of_the_room()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(480, 0.5)], keys: "field = \"near\"\ndistance_mm = 10");
        Assert.Empty(Study.Of(folder.Read()).Decays);
    }

    [Fact]
    public void Bands_below_the_sweep_are_not_listed_and_the_one_across_its_start_has_no_figure()
    {
        using var folder = new SmallSurvey();
        Record(folder, SmallSurvey.Design.Description with { StartHz = 900 }, clippedSamples: 0);
        var octaves = Assert.Single(Study.Of(folder.Read()).Decays).Octaves;
        Assert.Equal([1000.0, 2000, 4000, 8000], octaves.Select(decay => decay.Band.NominalHz));
        Assert.All(octaves.At(1000).Values, value => Assert.False(value.IsValid));
        Assert.All(octaves.At(1000).Values, value => Assert.StartsWith("excitation: the band", value.Reason));
        Assert.True(octaves.At(4000).T20.IsValid, octaves.At(4000).ToString());
    }

    [Fact]
    public void A_band_during_which_the_recording_clipped_is_refused_and_the_others_are_kept()
    {
        using var folder = new SmallSurvey();
        Record(folder, SmallSurvey.Design.Description, clippedSamples: 30);
        var octaves = Assert.Single(Study.Of(folder.Read()).Decays).Octaves;
        Assert.StartsWith("recording: the recording clipped", octaves.At(500).T20.Reason);
        Assert.False(octaves.At(500).C50.IsValid);
        Assert.True(octaves.At(4000).T20.IsValid, octaves.At(4000).ToString());
    }

    /// <summary>A take of a decay of 0.3 s, where wanted with a second one of 1.2 s so many decibels below it, some of its samples clipped half-way through the sweep, at 447 Hz.</summary>
    private static void Record(SmallSurvey folder, StimulusDescription description, int clippedSamples, double secondSlopeDb = double.NegativeInfinity)
    {
        foreach (var file in Directory.GetFiles(Path.Combine(folder.Folder, "stimuli"))) File.Delete(file);
        var design = Stimulus.From(description);
        design.Write(Path.Combine(folder.Folder, "stimuli", "full.toml"));
        var decay = Signals.Noise(14_400, 3).Select((x, n) => 0.02 * x * Math.Sqrt(Math.Pow(10, -6 * n / 14_400.0) + Math.Pow(10, secondSlopeDb / 10 - 6 * n / 57_600.0)));
        var microphone = Signals.Convolved(design.ToArray(), [.. new double[SmallSurvey.LatencySamples + 480], 0.1, .. decay], design.Length);
        var (scale, hiss) = (0.5 / microphone.Max(Math.Abs), Signals.Noise(design.Length, 4));
        for (var n = 0; n < microphone.Length; n++) microphone[n] = scale * microphone[n] + 1e-6 * hiss[n];
        var middle = design.SweepStart + (design.SweepEnd - design.SweepStart) / 2;
        for (var n = middle; n < middle + clippedSamples; n++) microphone[n] = 1 - 1.0 / (1 << 23);
        var reference = new double[design.Length];
        for (var n = SmallSurvey.LatencySamples; n < reference.Length; n++) reference[n] = 0.5 * design[n - SmallSurvey.LatencySamples];
        folder.Add("a.wav", new Recording(SmallSurvey.Rate, [microphone, reference]));
    }

    private static List<string[]> Rows(Study study, out string header)
    {
        var folder = Directory.CreateTempSubdirectory("sweepbook-decay-").FullName;
        try
        {
            DecayTable.Of(study).Write(Path.Combine(folder, "decay.csv"));
            var lines = File.ReadAllLines(Path.Combine(folder, "decay.csv"));
            header = lines[0];
            return [.. lines.Skip(1).Select(line => line.Split(',', 21))];
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }
}
