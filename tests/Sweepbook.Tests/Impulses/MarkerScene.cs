// SPDX-License-Identifier: MIT
using Sweepbook.Stimuli;

namespace Sweepbook.Tests.Impulses;

/// <summary>
/// A recording of marker and sweep by a recorder whose clock is off, from the closed forms of both: each is evaluated at the very moments at which the recorder took its samples,
/// so that nothing is interpolated and no code of the project's resampler is used.
/// </summary>
internal sealed class MarkerScene
{
    internal const int Rate = 48_000;

    internal MarkerScene(double endHz = 500, double sweepSeconds = 5, SweepKind kind = SweepKind.Exponential, bool isRepeated = true, double levelDbfs = -12)
    {
        Stimulus = Stimulus.From(new StimulusDescription
        {
            Kind = kind,
            SampleRateHz = Rate,
            StartHz = 10,
            EndHz = endHz,
            SweepSeconds = sweepSeconds,
            LeadInSeconds = 1.5,
            TailSeconds = 1.6,
            LevelDbfs = levelDbfs,
            FadeInSeconds = 0.1,
            FadeOutSeconds = 0.01,
            Marker = new(0.3, 0.4, 2_000, 12_000, isRepeated ? 1.5 + sweepSeconds + 1.0 : null),
        });
    }

    internal Stimulus Stimulus { get; }

    /// <summary>How fast the recorder's clock is.</summary>
    internal double Ppm { get; init; }

    /// <summary>How late player and recorder are together, in seconds; negative where the recorder was started late.</summary>
    internal double OffsetSeconds { get; init; } = 0.0123;

    /// <summary>Paths of the marker: seconds and height.</summary>
    internal (double Seconds, double Height)[] MarkerPaths { get; init; } = [(0.006, 0.3)];

    /// <summary>Paths of the repeat, where they are not those of the marker.</summary>
    internal (double Seconds, double Height)[]? RepeatPaths { get; init; }

    /// <summary>Paths of the sweep.</summary>
    internal (double Seconds, double Height)[] SweepPaths { get; init; } = [(0.010, 0.4), (0.0137, -0.2), (0.0212, 0.15)];

    internal double Noise { get; init; }

    internal ulong Seed { get; init; } = 1;

    internal double MoreSeconds { get; init; } = 0.1;

    /// <summary>What the recorder wrote, full scale ±1.</summary>
    internal double[] Recording()
    {
        var design = Stimulus.Description;
        var samples = new double[(int)((Stimulus.Length / (double)Rate + MoreSeconds) * Rate)];
        var hiss = Noise > 0 ? Signals.Noise(samples.Length, Seed) : [];
        var marker = design.Marker!;
        Add(samples, SweepPaths, design.LeadInSeconds, design.Law, (design.FadeInSeconds, design.FadeOutSeconds));
        Add(samples, MarkerPaths, marker.StartSeconds, marker.Law, (0.1 * marker.LengthSeconds, 0.1 * marker.LengthSeconds));
        if (marker.RepeatStartSeconds is { } again) Add(samples, RepeatPaths ?? MarkerPaths, again, marker.Law, (0.1 * marker.LengthSeconds, 0.1 * marker.LengthSeconds));
        for (var n = 0; n < hiss.Length; n++) samples[n] += Noise * hiss[n];
        return samples;
    }

    private void Add(double[] samples, (double Seconds, double Height)[] paths, double startSeconds, SweepLaw law, (double In, double Out) fades)
    {
        var level = Math.Pow(10, Stimulus.Description.LevelDbfs / 20);
        var last = law.Seconds - 1.0 / Rate;   // the fade ends on the last sample
        foreach (var (late, height) in paths)
        {
            var start = startSeconds + OffsetSeconds + late;
            var (first, end) = ((int)Math.Ceiling(start * Rate * (1 + Ppm * 1e-6)), (int)((start + last) * Rate * (1 + Ppm * 1e-6)));
            for (var n = Math.Max(0, first); n <= end && n < samples.Length; n++)
            {
                var t = n / (Rate * (1 + Ppm * 1e-6)) - start;
                samples[n] += level * height * Fade(t / fades.In) * Fade((last - t) / fades.Out) * Math.Sin(2 * Math.PI * law.PhaseCyclesAt(t));
            }
        }
    }

    private static double Fade(double part) => part >= 1 ? 1 : part <= 0 ? 0 : 0.5 * (1 - Math.Cos(Math.PI * part));
}
