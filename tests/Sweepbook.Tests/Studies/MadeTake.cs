// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Simulation;
using Sweepbook.Stimuli;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Transforms;
using Sweepbook.Trust;

namespace Sweepbook.Tests.Studies;

/// <summary>
/// A take made in milliseconds: a sweep through a loudspeaker, a room that decays exponentially, noise, hum, latency and a converter. Good as it is; tests
/// spoil it. Everything that may differ between good takes is drawn from the seed.
/// </summary>
internal sealed class MadeTake
{
    internal const int Rate = 48_000;
    private static readonly Stimulus[] Designs = [Design(20, 20_000, 1), Design(20, 20_000, 2), Design(10, 22_000, 1.5), Design(10, 400, 1.5), Design(15, 200, 2)];
    private static readonly Dictionary<Stimulus, Deconvolution> Plans = Designs.ToDictionary(design => design, design => Deconvolution.By(design, design.Length));

    /// <summary>A good take.</summary>
    /// <param name="seed">Chooses everything.</param>
    /// <param name="design">Which of the five stimuli, or −1 for the seed's choice.</param>
    /// <param name="source">What plays it.</param>
    internal MadeTake(int seed, int design = -1, MadeSource source = MadeSource.Any)
    {
        Random = RandomNumbers.For(seed, "made");
        var chosen = Random.NextWhole(0, Designs.Length - 1);
        Stimulus = Designs[design < 0 ? chosen : design];
        IsSubwoofer = (Stimulus.Description.EndHz < 1000 || Random.NextUniform() < 0.3 || source == MadeSource.Subwoofer) && source != MadeSource.Loudspeaker;
        LatencySamples = Random.NextWhole(60, 6_000);
        var (decaySeconds, distance) = (Between(0.15, 0.8), Between(1, 7));
        var sound = Loudspeaker(Stimulus.ToArray());
        Room = MakeRoom(decaySeconds, (int)(distance / 343 * Rate));
        Microphone = Late(Convolution.Linear(sound, Room), LatencySamples);
        Reference = [.. Late(Stimulus.ToArray(), LatencySamples)];
        var coupling = RecursiveFilter.HighPass(Between(2, 12), 2, Rate);
        (Microphone, Reference) = (coupling.Apply(Microphone), coupling.Apply(Reference));
        Scale(Reference, Between(-24, -2));
        PeakDbfs = Between(-40, -1.5);
        Scale(Microphone, PeakDbfs);
        var rms = Math.Sqrt(Microphone.Sum(x => x * x) / (Stimulus.SweepEnd - Stimulus.SweepStart));
        SweepRatio = rms;
        (NoiseRatio, HumRatio) = (rms * Math.Pow(10, -Between(25, 75) / 20), rms * Math.Pow(10, -Between(38, 85) / 20));
        AddNoise();
        NoiseGenerator.AddWhite(Reference, Between(-105, -80), Random);
        Bits = Random.NextUniform() < 0.5 ? 16 : 24;
    }

    internal RandomNumbers Random { get; }

    internal Stimulus Stimulus { get; }

    internal bool IsSubwoofer { get; }

    internal int LatencySamples { get; }

    internal double PeakDbfs { get; }

    /// <summary>Root mean square of the sounding sweep at the microphone.</summary>
    internal double SweepRatio { get; }

    internal double NoiseRatio { get; }

    internal double HumRatio { get; }

    internal int Bits { get; set; }

    internal double[] Room { get; }

    internal double[] Microphone { get; set; }

    internal double[] Reference { get; set; }

    internal int Middle => (Stimulus.SweepStart + Stimulus.SweepEnd) / 2 + LatencySamples;

    internal TakeEvidence Evidence(bool withLoopback)
    {
        var raw = new TakeReading(Rounded(Microphone), withLoopback ? Rounded(Reference) : null, Rate);
        return new(Stimulus, raw, raw.WithoutOffset(Stimulus.SweepStart), Plans[Stimulus]);
    }

    /// <summary>What the detectors say: the kinds of all faults, those that cost the take alone where there are any.</summary>
    internal List<TakeFault> Faults(bool withLoopback)
    {
        var evidence = Evidence(withLoopback);
        var zero = withLoopback ? TimeZero.Loopback : TimeZero.Unknown;
        if (TakeFaults.Fatal(evidence, zero).Fault is { } fatal) return [fatal];
        var take = AsTake(withLoopback);
        var silent = Math.Max(0, Stimulus.SweepStart + Math.Min(0, evidence.SoundSamples) - Rate / 100);
        return TakeFaults.Mild(evidence, take, TakeReading.ClippedSamples(evidence.Raw.Microphone).Count, (0, silent));
    }

    /// <summary>What a survey would say about such a take.</summary>
    internal static Take AsTake(bool withLoopback) =>
        new Take { File = "takes/made.wav", Path = "made.wav", Sources = ["main"], Seat = "sofa", Setting = "as-found", Microphone = "omni", TimeZero = withLoopback ? TimeZero.Loopback : TimeZero.Unknown, ReferenceChannel = withLoopback ? 2 : null };

    internal double Between(double low, double high) => low + (high - low) * Random.NextUniform();

    private static Stimulus Design(double startHz, double endHz, double seconds) => Stimulus.From(new StimulusDescription
    {
        SampleRateHz = Rate,
        StartHz = startHz,
        EndHz = endHz,
        SweepSeconds = seconds,
        LeadInSeconds = 0.5,
        TailSeconds = 0.7,
        LevelDbfs = -6,
        FadeInSeconds = 0.05,
        FadeOutSeconds = 0.005,
    });

    /// <summary>A closed box above 30 Hz with 5 % of distortion below 120 Hz, or a loudspeaker above 60 Hz with a tenth of it.</summary>
    private double[] Loudspeaker(double[] digital)
    {
        const double FullDrive = 0.5;   // the stimulus' peak
        var (second, third) = IsSubwoofer ? (0.035 * 2 / FullDrive, 0.035 * 4 / (FullDrive * FullDrive)) : (0.0035 * 2 / FullDrive, 0.0035 * 4 / (FullDrive * FullDrive));   // sin² and sin³ make ½ and ¼ of it
        var drive = IsSubwoofer ? RecursiveFilter.LowPass(120, 4, Rate).Apply(digital) : digital;
        if (IsSubwoofer) drive = [.. drive.Select(x => x + second * x * x + third * x * x * x)];
        else
        {
            var bass = RecursiveFilter.LowPass(250, 2, Rate).Apply(drive);
            for (var n = 0; n < drive.Length; n++) drive[n] += bass[n] * bass[n] * (second + third * bass[n]);
        }
        return RecursiveFilter.HighPass(IsSubwoofer ? Between(18, 35) : Between(45, 90), 2, Rate).Apply(drive);
    }

    private double[] MakeRoom(double decaySeconds, int arrival)
    {
        var room = new double[arrival + (int)(1.2 * decaySeconds * Rate)];
        room[arrival] = 1;
        var (rate, level) = (Math.Log(1000) / (decaySeconds * Rate), Between(0.02, 0.08));
        for (var n = arrival + 100; n < room.Length; n++) room[n] += level * Random.NextGaussian() * Math.Exp(-rate * (n - arrival));
        return room;
    }

    private void AddNoise()
    {
        var (pink, white) = (NoiseGenerator.Pink(0.9 * NoiseRatio, Microphone.Length, Rate, Random), 0.3 * NoiseRatio);
        var mains = Random.NextUniform() < 0.5 ? 50 : 60;
        var phases = new[] { 1, 2, 3, 5 }.Select(_ => 2 * Math.PI * Random.NextUniform()).ToArray();
        for (var n = 0; n < Microphone.Length; n++)
        {
            Microphone[n] += pink[n] + white * Random.NextGaussian();
            for (var k = 0; k < phases.Length; k++) Microphone[n] += HumRatio / (k + 1) * Math.Sin(2 * Math.PI * mains * (k < 3 ? k + 1 : 5) * n / Rate + phases[k]);
        }
    }

    private double[] Late(double[] samples, int late)
    {
        var result = new double[Stimulus.Length];
        for (var n = late; n < result.Length && n - late < samples.Length; n++) result[n] = samples[n - late];
        return result;
    }

    private static void Scale(double[] samples, double peakDbfs)
    {
        var gain = Math.Pow(10, peakDbfs / 20) / samples.Max(Math.Abs);
        for (var n = 0; n < samples.Length; n++) samples[n] *= gain;
    }

    private double[] Rounded(double[] samples)
    {
        var scale = Math.Pow(2, Bits - 1);
        return [.. samples.Select(x => Math.Clamp(Math.Round(x * scale), -scale, scale - 1) / scale)];
    }
}

/// <summary>What plays a made take.</summary>
internal enum MadeSource
{
    /// <summary>The seed decides.</summary>
    Any,

    /// <summary>A full-band loudspeaker.</summary>
    Loudspeaker,

    /// <summary>A subwoofer with 5 % of distortion.</summary>
    Subwoofer,
}
