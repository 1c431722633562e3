// SPDX-License-Identifier: MIT
using System.Text;
using Sweepbook.Files;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>Recordings made here, so that every sample of what was cut out is known.</summary>
public sealed class TakeImportTests : IDisposable
{
    private readonly SmallSurvey _survey = new();
    private readonly DirectoryInfo _elsewhere = Directory.CreateTempSubdirectory("sweepbook-test-");

    public TakeImportTests()
    {
        _survey.Read();
        File.WriteAllText(Toml, File.ReadAllText(Toml).Replace("time_zero = \"loopback\"", "time_zero = \"unknown\"").Replace("reference_channel = 2\n", "# a remark that stays\n"));
    }

    public void Dispose()
    {
        _survey.Dispose();
        _elsewhere.Delete(recursive: true);
    }

    [Fact]
    public void Three_sweeps_on_a_free_clock_become_three_takes_bit_for_bit_and_the_survey_keeps_every_byte()
    {
        const double Ppm = 187;
        var file = new LongRecording(46).Talk(0.3, 5).Play(Design, 8.4).Bang(14.2).Talk(15, 19).Play(Design, 22.7).Play(Design, 33.1).Talk(38, 45).Write(New("evening.wav"), Ppm);
        var before = File.ReadAllBytes(Toml);

        var takes = Import([file]);

        Assert.Equal(["takes/main_sofa_as-found_1.wav", "takes/main_sofa_as-found_2.wav", "takes/main_sofa_as-found_3.wav"], takes.Select(take => take.File));
        var recording = WavFile.Read(file).Channel(1);
        foreach (var (take, at) in takes.Zip([8.4, 22.7, 33.1]))
        {
            Assert.Equal(at * (1 + Ppm * 1e-6), take.AtSeconds, 0.02);   // as the search promises
            var cut = WavFile.Read(Path.Combine(_survey.Folder, take.File)).Channel(1);
            Assert.InRange(cut.Length, Design.Length, (int)(Design.Length * 1.01));
            Assert.True(recording.AsSpan().IndexOf(cut) > 0, "the samples of the take are not those of the recording");
        }
        var after = File.ReadAllBytes(Toml);
        Assert.True(after.AsSpan().StartsWith(before));
        var read = Survey.Read(_survey.Folder);
        Assert.Equal(takes.Select(take => take.File), read.Takes.Select(take => take.File));
        Assert.All(read.Takes, take => Assert.Equal((TimeZero.Unknown, "full", "omni"), (take.TimeZero, take.Stimulus, take.Microphone)));
        Assert.StartsWith("cut from evening.wav at 8.4", read.Takes[0].Note);
        Assert.All(Study.Of(read).Takes, take => Assert.True(take.IsUsed, take.WhyNot));
    }

    [Fact]
    public void One_seat_for_each_sweep_over_two_recordings()
    {
        var files = new[] { new LongRecording(15).Play(Design, 6).Write(New("one.wav")), new LongRecording(15).Play(Design, 5).Write(New("two.wav")) };
        Assert.Matches("2 sweeps were found .*, but 1 seat is named", Assert.Throws<DataFault>(() => Import(files, seats: ["sofa"])).Message);
        Assert.Throws<ArgumentException>(() => Import(files, seats: ["sofa", "stool"]));
        Assert.Empty(Survey.Read(_survey.Folder).Takes);
        Assert.Empty(Directory.EnumerateFiles(Path.Combine(_survey.Folder, "takes")));
        Assert.Equal(["sofa", "chair"], Import(files, seats: ["sofa", "chair"]).Select(take => take.Seat));
    }

    [Fact]
    public void What_was_imported_before_is_refused_under_any_name()
    {
        var file = new LongRecording(15).Play(Design, 6).Write(New("evening.wav"));
        Assert.Contains("given twice", Assert.Throws<DataFault>(() => Import([file, file])).Message);
        Import([file]);
        var survey = File.ReadAllBytes(Toml);
        File.Copy(file, New("copy.wav"));
        foreach (var again in new[] { file, New("copy.wav") })
            Assert.Contains("already imported as takes/main_sofa_as-found_1.wav", Assert.Throws<DataFault>(() => Import([again])).Message);
        Assert.Contains("already is a take", Assert.Throws<DataFault>(() => Import([Path.Combine(_survey.Folder, "takes", "main_sofa_as-found_1.wav")])).Message);
        Assert.Equal(survey, File.ReadAllBytes(Toml));
    }

    [Fact]
    public void A_second_microphone_of_the_same_recording_is_a_take_of_its_own()
    {
        var (near, far) = (new LongRecording(14).Play(Design, 6).RecordedAt(0), new LongRecording(14, seed: 2).Play(Design, 6.01).RecordedAt(0));
        WavFile.Write(New("pair.wav"), new Recording(SmallSurvey.Rate, [near, far]), WavEncoding.Integer24);
        Import([New("pair.wav")], seats: ["sofa"]);
        Import([New("pair.wav")], Main with { MicrophoneChannel = 2 }, ["chair"]);
        Assert.Equal([(1, "sofa"), (2, "chair")], Survey.Read(_survey.Folder).Takes.Select(take => (take.MicrophoneChannel, take.Seat)));
        Assert.Contains("already imported as takes/main_chair_as-found_1.wav", Assert.Throws<DataFault>(() => Import([New("pair.wav")], Main with { MicrophoneChannel = 2 }, ["chair"])).Message);
    }

    [Fact]
    public void A_loopback_that_holds_the_stimulus_is_the_time_zero_and_one_that_does_not_is_said()
    {
        var sound = new LongRecording(14).Play(Design, 6).RecordedAt(0);
        var loop = new LongRecording(14, noise: 1e-5, seed: 2).Play(Design, 5.99, (0, 0.5)).RecordedAt(0);
        WavFile.Write(New("both.wav"), new Recording(SmallSurvey.Rate, [sound, loop]), WavEncoding.Float32);
        WavFile.Write(New("silent.wav"), new Recording(SmallSurvey.Rate, [sound, new double[sound.Length]]), WavEncoding.Integer16);
        Assert.Contains("channel 2 does not hold the stimulus", Assert.Throws<DataFault>(() => Import([New("silent.wav")], Main with { ReferenceChannel = 2 })).Message);
        Assert.Contains("1 channel", Assert.Throws<DataFault>(() => Import([new LongRecording(14).Play(Design, 6).Write(New("mono.wav"))], Main with { ReferenceChannel = 2 })).Message);

        Assert.Equal(TimeZero.Loopback, Assert.Single(Import([New("both.wav")], Main with { ReferenceChannel = 2 })).TimeZero);
        File.WriteAllText(Toml, File.ReadAllText(Toml).Replace("time_zero = \"unknown\"\n", "time_zero = \"loopback\"\nreference_channel = 2\n"));
        var take = Assert.Single(Import([New("silent.wav")]));
        Assert.Equal(TimeZero.Unknown, take.TimeZero);
        Assert.Contains(take.Remarks, remark => remark.Contains("No loopback: channel 2 does not hold the stimulus"));
        var study = Study.Of(Survey.Read(_survey.Folder));
        Assert.Equal(0.01 * 340, study.Takes[0].DistanceMetres, 0.1);   // the sound is 10 ms later than the loopback
        Assert.All(study.Takes, result => Assert.True(result.IsUsed, result.WhyNot));
    }

    [Fact]
    public void What_cannot_be_used_says_so_and_adds_nothing()
    {
        var before = File.ReadAllBytes(Toml);
        Assert.Matches("the recording ends (1.[89]|2.0) s before the sweep at (4.9|5.[01]) s does", Refused(new LongRecording(6.1).Play(Design, 5).Write(New("short.wav"))));
        Assert.Contains("the recording begins 1.0 s after the sweep did", Refused(new LongRecording(6).Play(Design, -1).Write(New("late.wav"))));
        var nothing = Refused(new LongRecording(20).Talk(2, 19).Write(New("talk.wav")));
        Assert.Matches("not found on channel 1; what is most like it, at [0-9.]+ s, is [0-9]+ dB or more too weak", nothing);
        Assert.Contains("44.1/48", Refused(new LongRecording(8, rate: 44_100).Write(New("rate.wav"))));
        Assert.Contains("microphone is said to be on channel 3", Assert.Throws<DataFault>(() => Import([New("talk.wav")], Main with { MicrophoneChannel = 3 })).Message);
        Assert.Contains("no source \"man\"", Assert.Throws<DataFault>(() => Import([New("talk.wav")], Main with { Sources = ["man"] })).Message);
        Assert.Contains("no such file", Refused(New("nowhere.wav")));
        WavFile.Write(New("silent.wav"), new Recording(SmallSurvey.Rate, [new double[10 * SmallSurvey.Rate]]), WavEncoding.Integer24);
        Assert.Contains("channel 1 is silent", Refused(New("silent.wav")));
        Assert.Contains("it lasts 1.5 s, and the sweep of stimuli/full.toml alone takes 3.0 s", Refused(new LongRecording(1.5).Write(New("click.wav"))));
        Assert.Equal(before, File.ReadAllBytes(Toml));
        Assert.Empty(Directory.EnumerateFiles(Path.Combine(_survey.Folder, "takes")));
    }

    [Fact]
    public void A_whole_sweep_is_taken_from_a_recording_that_cuts_off_the_next()
    {
        var take = Assert.Single(Import([new LongRecording(12).Play(Design, 3).Play(Design, 10).Write(New("evening.wav"))]));
        Assert.Contains(take.Remarks, remark => remark.StartsWith("Left out: the recording ends 1.0 s before", StringComparison.Ordinal));
    }

    [Fact]
    public void The_tail_of_one_play_is_not_the_lead_in_of_the_next()
    {
        var file = new LongRecording(14).Play(Design, 4).Play(Design, 8.1).Write(New("twice.wav"));
        Import([file]);
        var second = WavFile.Read(Path.Combine(_survey.Folder, "takes", "main_sofa_as-found_2.wav")).Channel(1);
        const double End = 4 - 0.5 + 4.3;   // of the first play: lead-in, then the whole stimulus
        Assert.Equal(End, (double)WavFile.Read(file).Channel(1).AsSpan().IndexOf(second) / SmallSurvey.Rate, 0.02);   // as the search promises
    }

    [Fact]
    public void A_stretch_of_a_file_of_any_encoding_keeps_its_bits()
    {
        foreach (var encoding in Enum.GetValues<WavEncoding>())
        {
            var path = New($"{encoding}.wav");
            WavFile.Write(path, new Recording(8000, [[.. Signals.Noise(40_001, 1).Select(x => x / 8)], [.. Signals.Noise(40_001, 2).Select(x => x / 8)], new double[40_001]]), encoding);
            using var file = WavBlocks.Open(path, path);
            using var stream = new MemoryStream();
            file.Copy(stream, 10_001, 17_001);
            stream.Position = 0;
            var (cut, whole) = (WavFile.Read(stream, "cut"), WavFile.Read(path));
            Assert.Equal((17_001, 3, 8000), (cut.Length, cut.ChannelCount, cut.SampleRateHz));
            for (var channel = 1; channel <= 3; channel++) Assert.True(cut.ChannelSpan(channel).SequenceEqual(whole.ChannelSpan(channel).Slice(10_001, 17_001)));
            var around = new double[50_000];   // zeros on both sides of the recording
            file.Read(2, -5_000, around);
            Assert.True(around.AsSpan(5_000, 40_001).SequenceEqual(whole.ChannelSpan(2)));
            Assert.True(around.AsSpan(0, 5_000).IndexOfAnyExcept(0.0) < 0 && around.AsSpan(45_001).IndexOfAnyExcept(0.0) < 0);
        }
    }

    private static Sweepbook.Stimuli.Stimulus Design => SmallSurvey.Design;

    private static TakeEntry Main { get; } = new() { Sources = ["main"] };

    private string Toml => Path.Combine(_survey.Folder, "survey.toml");

    private string New(string name) => Path.Combine(_elsewhere.FullName, name);

    private string Refused(string file) => Assert.Throws<DataFault>(() => Import([file])).Message;

    private IReadOnlyList<ImportedTake> Import(IReadOnlyList<string> files, TakeEntry? wanted = null, string[]? seats = null) =>
        TakeImport.Sweeps(_survey.Folder, files, (wanted ?? Main) with { Seat = seats is null ? "sofa" : null }, seats ?? [], null, default);
}
