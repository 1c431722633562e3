// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Impulses;
using Sweepbook.Stimuli;
using Sweepbook.Trust;

namespace Sweepbook.Benchmarks.Cases;

/// <summary>A take of two channels at 48 kHz to its impulse response, beside the same division written with scipy.fft.</summary>
/// <remarks>What all takes of a stimulus share is made once, before; on either side only what every take needs is measured.</remarks>
public sealed class ImpulseResponseCase(int seconds) : SideCase
{
    private readonly Lazy<Stimulus> _stimulus = new(() => Stimulus.From(new()
    {
        StartHz = 20,
        EndHz = 20_000,
        SweepSeconds = seconds * 10 / 12.0,
        LeadInSeconds = seconds / 12.0,
        TailSeconds = seconds / 12.0,
        FadeInSeconds = 0.01 * seconds / 12,
    }));

    private double[] _microphone = [], _loopback = [];
    private Deconvolution? _plan;
    private ImpulseResponse? _response;

    public override string Name => $"take of {seconds} s, two channels, to impulse response";

    public override string Script => "impulse_response";

    public override double GoalRatio => 0.4;

    public override double Tolerance => 1e-12;

    public override string WhyTolerance => "two transforms forward and one back on either side, divided by a spectrum that falls 30 dB over the band";

    public override void WriteInputs(string folder)
    {
        var plan = Deconvolution.By(_stimulus.Value, _stimulus.Value.Length);
        var description = _stimulus.Value.Description;
        double[] stimulus = _stimulus.Value.ToArray(), noise = Pattern(stimulus.Length);
        double At(int n) => n >= 0 ? stimulus[n] : 0;
        Write(Path.Combine(folder, "loopback.f64"), [.. stimulus.Select((_, n) => 0.5 * At(n - 240))]);
        Write(Path.Combine(folder, "microphone.f64"), [.. stimulus.Select((_, n) => 0.3 * At(n - 480) - 0.1 * At(n - 1500) + 1e-5 * noise[n])]);
        double[] numbers =
        [
            description.SampleRateHz, stimulus.Length, description.StartHz, description.EndHz, description.SweepSeconds,
            description.LevelDbfs, plan.ExcitedFromHz, plan.ExcitedToHz,
        ];
        File.WriteAllText(Path.Combine(folder, "stimulus.txt"), string.Join('\n', numbers.Select(number => number.ToString("R", CultureInfo.InvariantCulture))));
    }

    public override void Load(string folder)
    {
        (_microphone, _loopback) = (Read(Path.Combine(folder, "microphone.f64")), Read(Path.Combine(folder, "loopback.f64")));
        _plan = Deconvolution.By(_stimulus.Value, _microphone.Length);
    }

    public override void Run() => _response = _plan!.WithLoopback(_loopback, TimeGroup.None).Of(_microphone);

    public override double[] Result() => [.. Enumerable.Range(0, _response!.Length).Select(n => _response[n])];
}
