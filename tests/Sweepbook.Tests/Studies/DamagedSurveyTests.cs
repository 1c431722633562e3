// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Stimuli;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>The whole path on damaged recordings: a take is used, or left out with a reason; nothing else may happen.</summary>
public sealed class DamagedSurveyTests : IDisposable
{
    private const int OneInTwenty = 20;   // a study costs some milliseconds, reading a file microseconds: 100 in the default run
    private const int Rate = 8000;
    private readonly string _folder = Directory.CreateTempSubdirectory("sweepbook-damage-").FullName;

    [Fact]
    public void A_study_of_damaged_recordings_uses_a_take_or_leaves_it_out_with_a_reason()
    {
        var stimulus = Stimulus.From(new StimulusDescription
        {
            SampleRateHz = Rate,
            StartHz = 50,
            EndHz = 3500,
            SweepSeconds = 0.2,
            LeadInSeconds = 0.15,
            TailSeconds = 0.1,
            LevelDbfs = -6,
            FadeInSeconds = 0.01,
            FadeOutSeconds = 0.002,
        });
        Directory.CreateDirectory(Path.Combine(_folder, "takes"));
        Directory.CreateDirectory(Path.Combine(_folder, "stimuli"));
        stimulus.Write(Path.Combine(_folder, "stimuli", "short.toml"));
        var noise = Signals.Noise(stimulus.Length, 4);
        var microphone = stimulus.ToArray().Select((x, n) => 0.5 * x + 1e-4 * noise[n]).ToArray();
        WavFile.Write(Path.Combine(_folder, "takes", "sweep.wav"), new Recording(Rate, [microphone, stimulus.ToArray()]), WavEncoding.Float32);
        WavFile.Write(Path.Combine(_folder, "takes", "clap.wav"), new Recording(Rate, [microphone]), WavEncoding.Integer24);
        File.WriteAllText(Path.Combine(_folder, "survey.toml"), Text);
        var originals = new[] { "sweep.wav", "clap.wav" }.ToDictionary(name => name, name => File.ReadAllBytes(Path.Combine(_folder, "takes", name)));
        Assert.Equal(2, Study.Of(Survey.Read(_folder)).Responses.Count);

        var leftOut = 0;
        for (var seed = 0; seed < Math.Max(1, Mutations.Count / OneInTwenty); seed++)
        {
            foreach (var (name, bytes) in originals) File.WriteAllBytes(Path.Combine(_folder, "takes", name), Mutations.Of(bytes, seed));
            foreach (var take in Study.Of(Survey.Read(_folder)).Takes)
            {
                if (take.IsUsed) continue;
                leftOut++;
                Assert.False(string.IsNullOrWhiteSpace(take.WhyNot), $"seed {seed}");
            }
        }
        Assert.True(leftOut > 0);   // the damage bites
    }

    private const string Text = """
        format = 1
        title = "Damaged"

        [[stimulus]]
        id = "short"
        file = "stimuli/short.toml"

        [[microphone]]
        id = "omni"

        [[source]]
        id = "main"
        kind = "loudspeaker"

        [[seat]]
        id = "sofa"

        [[take]]
        file = "takes/sweep.wav"
        sources = ["main"]
        seat = "sofa"
        microphone = "omni"
        microphone_channel = 1
        reference_channel = 2
        time_zero = "loopback"

        [[take]]
        file = "takes/clap.wav"
        sources = ["main"]
        seat = "sofa"
        microphone = "omni"
        microphone_channel = 1
        time_zero = "unknown"
        impulse = true
        """;

    public void Dispose() => Directory.Delete(_folder, recursive: true);
}
