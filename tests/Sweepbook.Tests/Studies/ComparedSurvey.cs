// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Files;
using Sweepbook.Stimuli;
using Sweepbook.Studies;
using Sweepbook.Surveys;

namespace Sweepbook.Tests.Studies;

/// <summary>
/// A small survey of several microphones at one place: a loudspeaker in a room with sixty reflections, each microphone a filter with a closed form, set up again before every take, so that every sound
/// arrives up to two samples (1.4 cm) earlier or later. The study is made once for all tests.
/// </summary>
public sealed class ComparedSurvey : IDisposable
{
    internal const int Rate = 48_000;
    internal const double SensitivityRatio = 0.4, PocketTilt = 0.5, ReferenceTilt = -0.1, PocketCornerHz = 25;
    private const double NoiseRatio = 1e-5;
    private static readonly Stimulus Full = Design(-6), Other = Design(-9);
    private readonly Dictionary<string, string> _takes = [];
    private readonly SurveyFolder _folder = new();

    public ComparedSurvey()
    {
        Full.Write(_folder.At("stimuli/full.toml"));
        Other.Write(_folder.At("stimuli/other.toml"));
        Directory.CreateDirectory(_folder.At("takes"));
        _folder.Put("calibration/ref.txt", string.Join('\n', Enumerable.Range(-100, 200).Select(n => 1000 * Math.Pow(2, n / 12.0)).Where(hz => hz is > 8 and < 23_000)
            .Select(hz => string.Create(CultureInfo.InvariantCulture, $"{hz:0.000} {TiltDb(hz, ReferenceTilt):0.0000}"))));
        for (var n = 1; n <= 3; n++)
        {
            Take("reference", n, Full, Reference);
            Take("pocket", n, Full, Pocket, gain: n == 2 ? 0.9 : 1);
        }
        Take("late", 1, Other, Reference, "stimulus = \"other\"");
        Take("loud", 1, Full, Reference, "drive_db = 6.0");
        Take("boom", 1, Full, Reference);
        Take("tweet", 1, Full, Reference);
        Study = Study.Of(Read());
    }

    internal Study Study { get; }

    internal string Folder => _folder.Path;

    /// <summary>What the pocket microphone reads too much, in decibels, its sensitivity included.</summary>
    internal static double PocketDb(double hz) => 20 * Math.Log10(SensitivityRatio) + TiltDb(hz, PocketTilt) + HighPassDb(hz);

    /// <summary>The survey with another calibration of the pocket microphone, or none.</summary>
    internal Survey Read(string pocketCalibration = "", string top = "", string more = "")
    {
        _folder.Put("survey.toml", $"""
            format = 1
            title = "Compared"
            date = 2026-10-18
            {top}

            [[stimulus]]
            id = "full"
            file = "stimuli/full.toml"

            [[stimulus]]
            id = "other"
            file = "stimuli/other.toml"

            [[microphone]]
            id = "reference"
            reference = true
            calibration = "calibration/ref.txt"
            calibrated_on = 2024-03-01
            calibration_uncertainty_db = 0.6

            [[microphone]]
            id = "pocket"
            {pocketCalibration}

            [[microphone]]
            id = "late"

            [[microphone]]
            id = "loud"

            [[microphone]]
            id = "boom"
            highest_hz = 2500.0

            [[microphone]]
            id = "tweet"
            lowest_hz = 4000.0

            [[microphone]]
            id = "idle"
            {more}

            [[source]]
            id = "main"
            kind = "loudspeaker"

            [[seat]]
            id = "sofa"

            [take-defaults]
            stimulus = "full"
            sources = ["main"]
            seat = "sofa"
            microphone_channel = 1
            reference_channel = 2
            time_zero = "loopback"
            {string.Join('\n', _takes.Values)}
            """);
        return Survey.Read(_folder.Path);
    }

    private static double TiltDb(double hz, double tilt) => 10 * Math.Log10((1 + tilt * tilt + 2 * tilt * Math.Cos(2 * Math.PI * hz / Rate)) / ((1 + tilt) * (1 + tilt)));

    private static double Pole => Math.Exp(-2 * Math.PI * PocketCornerHz / Rate);

    /// <summary>(1 + p)/2 · (1 − z⁻¹) / (1 − p z⁻¹).</summary>
    private static double HighPassDb(double hz)
    {
        var cosine = Math.Cos(2 * Math.PI * hz / Rate);
        return 10 * Math.Log10((1 + Pole) * (1 + Pole) / 4 * (2 - 2 * cosine) / (1 + Pole * Pole - 2 * Pole * cosine));
    }

    private static double[] Reference(double[] room) => Tilted(room, ReferenceTilt);

    private static double[] Pocket(double[] room)
    {
        var (tilted, result) = (Tilted(room, PocketTilt), new double[room.Length]);
        for (var n = 0; n < result.Length; n++)
            result[n] = SensitivityRatio * (1 + Pole) / 2 * (tilted[n] - (n > 0 ? tilted[n - 1] : 0)) + (n > 0 ? Pole * result[n - 1] : 0);
        return result;
    }

    private static double[] Tilted(double[] room, double tilt) => [.. room.Select((value, n) => (value + (n > 0 ? tilt * room[n - 1] : 0)) / (1 + tilt))];

    /// <summary>The room as a microphone hears it that was set up for this take.</summary>
    private static double[] Room(ulong seed)
    {
        var (room, where, moved) = (new double[Rate / 2], Signals.Noise(240, 4), Signals.Noise(61, seed));
        room[160 + Shift(0)] = 0.3;
        for (var n = 1; n <= 60; n++)
        {
            var late = 160 + 120 + (int)(4_000 * (n / 60.0)) + (int)(20 * Math.Abs(where[n]));
            room[late + Shift(n)] += 0.07 * where[n + 100] * Math.Exp(-3.5 * n / 60.0);
        }
        return room;

        int Shift(int n) => (int)Math.Clamp(Math.Round(moved[n]), -2, 2);
    }

    private void Take(string microphone, int repeat, Stimulus design, Func<double[], double[]> hears, string keys = "", double gain = 1)
    {
        var (name, seed) = ($"{microphone}_{repeat}.wav", (ulong)(repeat + 31 * microphone.Length));
        var sound = Signals.Convolved(design.ToArray(), hears(Room(seed)), design.Length);
        var hiss = Signals.Noise(design.Length, seed + 7);
        for (var n = 0; n < sound.Length; n++) sound[n] = gain * sound[n] + NoiseRatio * hiss[n];
        WavFile.Write(_folder.At($"takes/{name}"), new Recording(Rate, [sound, [.. design.ToArray().Select(x => 0.5 * gain * x)]]), WavEncoding.Integer24);
        _takes[name] = $"""

            [[take]]
            file = "takes/{name}"
            microphone = "{microphone}"
            {keys}
            """;
    }

    private static Stimulus Design(double levelDbfs) => Stimulus.From(new StimulusDescription
    {
        SampleRateHz = Rate,
        StartHz = 15,
        EndHz = 22_000,
        SweepSeconds = 1,
        LeadInSeconds = 0.5,
        TailSeconds = 0.6,
        LevelDbfs = levelDbfs,
        FadeInSeconds = 0.05,
        FadeOutSeconds = 0.002,
    });

    public void Dispose() => _folder.Dispose();
}
