// SPDX-License-Identifier: MIT
using Sweepbook.Filters;
using Sweepbook.Impulses;

namespace Sweepbook.Decay;

/// <summary>A response at a rate that suits the highest frequency asked for, with the moment at which its sound begins.</summary>
/// <remarks>
/// The rate is halved as long as it stays at least five times that frequency; each halving costs at most 1e-4 dB and folds back nothing above −100 dB
/// (<see cref="HalfBandDecimation"/>). The beginning is the first sample 20 dB below the largest (fact sheet 4.12), looked for backwards from the largest and no further
/// than a pause of half a period of the lowest frequency, so that distortion and noise long before the sound are not taken for it.
/// </remarks>
internal sealed class MapSignal
{
    private const double RateOverHighest = 5;
    private const int PadSamples = 32;              // more than half the halving filter, so that what rings before the record is kept
    private const double StartRatio = 0.1;          // 20 dB

    private MapSignal(double[] samples, double rateHz, int start, double startSeconds) => (Samples, RateHz, Start, StartSeconds) = (samples, rateHz, start, startSeconds);

    public double[] Samples { get; }

    public double RateHz { get; }

    /// <summary>Index of the first sample of the sound.</summary>
    public int Start { get; }

    /// <summary>The same moment on the response's own time axis.</summary>
    public double StartSeconds { get; }

    public static MapSignal Of(ImpulseResponse response, double fromHz, double toHz)
    {
        var halvings = 0;
        while (response.SampleRateHz / (double)(2 << halvings) >= RateOverHighest * toHz) halvings++;
        var padding = halvings == 0 ? 0 : PadSamples << halvings;
        var samples = new double[response.Length + 2 * padding];
        response.Samples.CopyTo(samples.AsSpan(padding));
        for (var k = 0; k < halvings; k++) samples = HalfBandDecimation.Halve(samples);
        for (var n = 0; halvings > 0 && n < samples.Length; n++) samples[n] *= 1 << halvings;   // so few samples add up to what all of them did
        var rateHz = response.SampleRateHz / (double)(1 << halvings);
        var start = StartOf(samples, (int)Math.Ceiling(rateHz / (2 * fromHz)));
        return new(samples, rateHz, start, ((double)start * (1 << halvings) - padding - response.TimeZeroSamples) / response.SampleRateHz);
    }

    private static int StartOf(double[] samples, int longestPause)
    {
        var (largest, at) = (0.0, 0);
        for (var n = 0; n < samples.Length; n++)
            if (Math.Abs(samples[n]) > largest) (largest, at) = (Math.Abs(samples[n]), n);
        var start = at;
        for (var n = at; n >= 0 && start - n <= longestPause; n--)
            if (Math.Abs(samples[n]) >= StartRatio * largest) start = n;
        return start;
    }
}
