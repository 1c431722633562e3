// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Stimuli;

namespace Sweepbook.Cli.Tests;

/// <summary>A survey small enough to make for every test: a one-second sweep, takes that are the sweep, later and weaker, with a loopback beside it.</summary>
public sealed class SmallSurvey
{
    private const int RateHz = 48_000;
    private const int DelaySamples = 480;         // 10 ms, 3.4 m
    private const double Distance = 0.25;         // amplitude at the microphone
    private const double NoiseAmplitude = 1e-4;

    private SmallSurvey(string folder, Stimulus stimulus) => (Folder, Stimulus) = (folder, stimulus);

    public string Folder { get; }

    public Stimulus Stimulus { get; }

    public string Toml => Path.Combine(Folder, "survey.toml");

    /// <summary>Makes the survey with takes 1 to <paramref name="takes"/> of one source at as many seats.</summary>
    public static SmallSurvey Make(string folder, int takes = 1)
    {
        Directory.CreateDirectory(Path.Combine(folder, "stimuli"));
        Directory.CreateDirectory(Path.Combine(folder, "takes"));
        var stimulus = Stimulus.From(new() { SampleRateHz = RateHz, StartHz = 20, EndHz = 20_000, SweepSeconds = 1, LeadInSeconds = 0.5, TailSeconds = 0.5 });
        stimulus.Write(Path.Combine(folder, "stimuli", "full.toml"));
        var survey = new SmallSurvey(folder, stimulus);
        var seats = Enumerable.Range(1, takes).Select(seat => $"[[seat]]\nid = \"seat-{seat}\"\n");
        File.WriteAllText(survey.Toml, $"""
            format = 1
            title = "Small"
            date = 2026-10-18
            takes = "takes/[source]_[seat].wav"

            [[stimulus]]
            id = "full"
            file = "stimuli/full.toml"

            [[microphone]]
            id = "mic"
            lowest_hz = 20
            highest_hz = 20000
            tolerance_db = 2

            [[source]]
            id = "main"
            kind = "loudspeaker"

            {string.Join('\n', seats)}
            [take-defaults]
            microphone = "mic"
            stimulus = "full"
            microphone_channel = 1
            reference_channel = 2
            time_zero = "loopback"

            """.Replace("[source]_[seat]", "{source}_{seat}"));
        for (var seat = 1; seat <= takes; seat++) survey.Record(seat);
        return survey;
    }

    public string Take(int seat) => Path.Combine(Folder, "takes", $"main_seat-{seat}.wav");

    /// <summary>Writes one take anew.</summary>
    public void Record(int seat, int rateHz = RateHz, double amplitude = Distance, double loopback = 0.5)
    {
        var samples = Stimulus.ToArray();
        var (microphone, reference) = (new double[samples.Length], new double[samples.Length]);
        var noise = new Random(seat);   // fixed seed
        for (var n = 0; n < samples.Length; n++)
        {
            var sound = n >= DelaySamples ? amplitude * samples[n - DelaySamples] : 0;
            microphone[n] = Math.Clamp(sound + NoiseAmplitude * (2 * noise.NextDouble() - 1), -1, 1);   // what a converter does
            reference[n] = loopback * samples[n];
        }
        File.Delete(Take(seat));
        WavFile.Write(Take(seat), new Recording(rateHz, [microphone, reference]), WavEncoding.Integer24);
    }

    /// <summary>Changes the description.</summary>
    public void Edit(string from, string to)
    {
        var text = File.ReadAllText(Toml);
        if (!text.Contains(from)) throw new InvalidOperationException($"survey.toml has no \"{from}\".");
        File.WriteAllText(Toml, text.Replace(from, to));
    }

    public void Append(string text) => File.AppendAllText(Toml, "\n" + text);
}
