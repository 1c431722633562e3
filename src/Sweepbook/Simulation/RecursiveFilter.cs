// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Filters;

namespace Sweepbook.Simulation;

/// <summary>One second-order section: y = b0 x + b1 x₋₁ + b2 x₋₂ − a1 y₋₁ − a2 y₋₂.</summary>
internal readonly record struct Section(double B0, double B1, double B2, double A1, double A2)
{
    public Complex ResponseAt(double frequencyHz, int sampleRateHz)
    {
        var delay = Complex.FromPolarCoordinates(1, -2 * Math.PI * frequencyHz / sampleRateHz);
        return (B0 + delay * (B1 + delay * B2)) / (1 + delay * (A1 + delay * A2));
    }
}

/// <summary>Second-order sections in a row: roll-offs and resonances of loudspeakers, microphones and inputs.</summary>
/// <remarks>
/// Butterworth sections are the analogue prototype through the bilinear transform, matched at the corner; far above it a low-pass falls
/// faster than its analogue. The peak is the form of the public "Audio EQ Cookbook" of R. Bristow-Johnson (fact sheet 12).
/// </remarks>
internal sealed class RecursiveFilter
{
    private readonly int _sampleRateHz;

    private RecursiveFilter(int sampleRateHz, Section[] sections) => (_sampleRateHz, Sections) = (sampleRateHz, sections);

    public IReadOnlyList<Section> Sections { get; }

    public static RecursiveFilter None(int sampleRateHz) => new(sampleRateHz, []);

    /// <summary>Sections in the order given.</summary>
    public static RecursiveFilter OfSections(int sampleRateHz, params Section[] sections) => new(sampleRateHz, sections);

    /// <summary>Low shelf: the gain far below its corner, half of it in decibels at it.</summary>
    public static RecursiveFilter LowShelf(double cornerHz, double gainDb, double q, int sampleRateHz) => Of(Biquad.LowShelf(cornerHz, gainDb, q, sampleRateHz));

    /// <summary>High shelf: the gain far above its corner, half of it in decibels at it.</summary>
    public static RecursiveFilter HighShelf(double cornerHz, double gainDb, double q, int sampleRateHz) => Of(Biquad.HighShelf(cornerHz, gainDb, q, sampleRateHz));

    private static RecursiveFilter Of(Biquad filter) => new(filter.SampleRateHz, [new(filter.B0, filter.B1, filter.B2, filter.A1, filter.A2)]);

    public static RecursiveFilter HighPass(double cornerHz, int order, int sampleRateHz) => Butterworth(cornerHz, order, sampleRateHz, isHighPass: true);

    public static RecursiveFilter LowPass(double cornerHz, int order, int sampleRateHz) => Butterworth(cornerHz, order, sampleRateHz, isHighPass: false);

    public static RecursiveFilter Peak(double centreHz, double gainDb, double q, int sampleRateHz)
    {
        RequireBelowNyquist(centreHz, sampleRateHz);
        var amplitude = Math.Pow(10, gainDb / 40);
        var (sine, cosine) = Math.SinCos(2 * Math.PI * centreHz / sampleRateHz);
        var alpha = sine / (2 * q);
        var a0 = 1 + alpha / amplitude;
        return new(sampleRateHz, [new((1 + alpha * amplitude) / a0, -2 * cosine / a0, (1 - alpha * amplitude) / a0, -2 * cosine / a0, (1 - alpha / amplitude) / a0)]);
    }

    /// <summary>Real poles and zeros in turn, evenly spaced on a logarithmic axis: on the whole 3 dB down per octave above the lowest pole.</summary>
    public static RecursiveFilter Ladder(double lowestPoleHz, int polesPerDecade, int sampleRateHz)
    {
        var step = Math.Pow(10, 0.5 / polesPerDecade);
        var sections = new List<Section>();
        for (var poleHz = lowestPoleHz; poleHz * step < 0.4 * sampleRateHz; poleHz *= step * step)
        {
            var (pole, zero) = (Math.Tan(Math.PI * poleHz / sampleRateHz), Math.Tan(Math.PI * poleHz * step / sampleRateHz));
            var scale = pole / zero / (1 + pole);   // unity at 0 Hz
            sections.Add(new(scale * (1 + zero), scale * (zero - 1), 0, (pole - 1) / (pole + 1), 0));
        }
        return new(sampleRateHz, [.. sections]);
    }

    public RecursiveFilter Then(RecursiveFilter next) => new(_sampleRateHz, [.. Sections, .. next.Sections]);

    /// <summary>The signal after all sections, from rest.</summary>
    public double[] Apply(ReadOnlySpan<double> samples)
    {
        var result = samples.ToArray();
        foreach (var section in Sections)
        {
            var (first, second) = (0.0, 0.0);   // transposed direct form II
            for (var n = 0; n < result.Length; n++)
            {
                var x = result[n];
                var y = section.B0 * x + first;
                first = section.B1 * x - section.A1 * y + second;
                second = section.B2 * x - section.A2 * y;
                result[n] = y;
            }
        }
        return result;
    }

    public Complex ResponseAt(double frequencyHz)
    {
        var response = Complex.One;
        foreach (var section in Sections) response *= section.ResponseAt(frequencyHz, _sampleRateHz);
        return response;
    }

    private static RecursiveFilter Butterworth(double cornerHz, int order, int sampleRateHz, bool isHighPass)
    {
        RequireBelowNyquist(cornerHz, sampleRateHz);
        if (order is < 1 or > 8) throw new ArgumentOutOfRangeException(nameof(order), order, "Must be in [1, 8].");
        var k = Math.Tan(Math.PI * cornerHz / sampleRateHz);
        var sections = new List<Section>();
        for (var pair = 0; pair < order / 2; pair++)
        {
            var damping = 2 * Math.Sin(Math.PI * (2 * pair + 1) / (2.0 * order));   // 1/Q of this pole pair
            var a0 = 1 + damping * k + k * k;
            var (a1, a2) = (2 * (k * k - 1) / a0, (1 - damping * k + k * k) / a0);
            sections.Add(isHighPass ? new(1 / a0, -2 / a0, 1 / a0, a1, a2) : new(k * k / a0, 2 * k * k / a0, k * k / a0, a1, a2));
        }
        if (order % 2 == 1)
            sections.Add(isHighPass ? new(1 / (1 + k), -1 / (1 + k), 0, (k - 1) / (k + 1), 0) : new(k / (1 + k), k / (1 + k), 0, (k - 1) / (k + 1), 0));
        return new(sampleRateHz, [.. sections]);
    }

    private static void RequireBelowNyquist(double cornerHz, int sampleRateHz)
    {
        if (!(cornerHz > 0 && cornerHz < sampleRateHz / 2.0))
            throw new ArgumentOutOfRangeException(nameof(cornerHz), cornerHz, $"Must be in (0, {sampleRateHz / 2}) Hz.");
    }
}
