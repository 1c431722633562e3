// SPDX-License-Identifier: MIT
namespace Sweepbook.Transforms;

/// <summary>Another sample rate for the same signal: between two stated rates, or by the small error of a clock.</summary>
/// <remarks>
/// Both read the band-limited signal at the new instants. Pass band up to <see cref="PassBandRatio"/> of the lower rate, level within
/// 0.001 dB (measured: 0.000 000 4 dB); stop band from <see cref="StopBandRatio"/> of it, 140 dB down or more (measured: 146 dB); between
/// the two the level falls. So nothing folds back and no image remains above −140 dB. No delay: the first sample stays where it is.
/// Outside the samples the signal is taken as zero, so the first and last hundred samples of the lower rate belong to the edges.
/// Source: J. O. Smith, "Digital Audio Resampling", CCRMA, Stanford (windowed-sinc interpolation at any instant); window and length after
/// J. F. Kaiser, "Nonrecursive digital filter design using the I0-sinh window function", Proc. IEEE ISCAS 1974, 20–23.
/// </remarks>
public static class Resampling
{
    /// <summary>Upper end of the pass band, as a share of the lower of the two rates.</summary>
    public const double PassBandRatio = 0.45;

    /// <summary>Lower end of the stop band, as a share of the lower of the two rates.</summary>
    public const double StopBandRatio = 0.5;

    private const int HighestRateHz = 1 << 24;
    private const int LargestStep = 256;
    private const double LargestPpm = 10_000;

    /// <summary>The same signal at another rate: y[k] is the band-limited signal at the time k / <paramref name="toHz"/>.</summary>
    /// <param name="samples">Samples at <paramref name="fromHz"/>, any unit, any number.</param>
    /// <param name="fromHz">Their rate in hertz, in [1, 2^24].</param>
    /// <param name="toHz">The wanted rate in hertz, in [1, 2^24], at most 256 times higher or lower.</param>
    /// <returns>⌈samples · toHz / fromHz⌉ samples of the same unit: as many as begin within the original's duration. Equal rates give a copy.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A rate is outside its interval, or the two are too far apart.</exception>
    /// <exception cref="ArgumentException">The result would be longer than 2^29 samples.</exception>
    /// <remarks>
    /// A response measured close to half the lower rate loses its upper end: what lies between 0.45 and 0.5 of it is attenuated. A NaN or an
    /// infinity spreads over a hundred samples of the lower rate on either side. Source: see the class.
    /// </remarks>
    public static double[] ToRate(ReadOnlySpan<double> samples, int fromHz, int toHz)
    {
        CheckRate(fromHz, nameof(fromHz));
        CheckRate(toHz, nameof(toHz));
        if (Math.Max(fromHz, toHz) / (double)Math.Min(fromHz, toHz) > LargestStep)
            throw new ArgumentOutOfRangeException(nameof(toHz), toHz, $"Must be in [{fromHz / (double)LargestStep}, {fromHz * (double)LargestStep}] Hz, within {LargestStep} times the rate of {fromHz} Hz.");
        if (fromHz == toHz) return samples.ToArray();

        var common = Common(fromHz, toHz);
        var (step, parts) = (fromHz / common, toHz / common);   // one output sample is step / parts of an input sample
        var count = CheckedCount(((long)samples.Length * parts + step - 1) / step, samples.Length, nameof(samples));
        var kernel = new ResamplingKernel(Math.Min(1, (double)parts / step), parts);
        var result = new double[count];
        for (var k = 0; k < count; k++)
        {
            var whole = Math.DivRem((long)k * step, parts, out var rest);
            result[k] = kernel.At(samples, (int)whole, rest, parts);
        }
        return result;
    }

    /// <summary>What a right clock would have recorded: y[k] is the band-limited signal at the place k · (1 + ppm / 10^6) of the samples.</summary>
    /// <param name="samples">Samples of a clock that runs wrong, any unit, any number.</param>
    /// <param name="clockFastPpm">By how much that clock is fast, in parts per million, in [−10 000, 10 000]; a fast clock took too many samples.</param>
    /// <returns>⌈samples / (1 + ppm / 10^6)⌉ samples of the same unit: fewer for a fast clock, more for a slow one. 0 ppm gives a copy.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The error is not finite or too large.</exception>
    /// <exception cref="ArgumentException">The result would be longer than 2^29 samples.</exception>
    /// <remarks>
    /// The clock must be wrong by the same share throughout; a clock that drifts as it warms up is not mended. The upper end is attenuated as with
    /// <see cref="ToRate"/>, even for a tiny error; 0 ppm is left as it is. Source: see the class.
    /// </remarks>
    public static double[] ByPpm(ReadOnlySpan<double> samples, double clockFastPpm)
    {
        if (!(Math.Abs(clockFastPpm) <= LargestPpm))
            throw new ArgumentOutOfRangeException(nameof(clockFastPpm), clockFastPpm, $"Must be in [−{LargestPpm}, {LargestPpm}] ppm.");
        if (clockFastPpm == 0) return samples.ToArray();

        var excess = clockFastPpm * 1e-6;
        var count = CheckedCount((long)Math.Ceiling(samples.Length / (1 + excess)), samples.Length, nameof(samples));
        var kernel = new ResamplingKernel(Math.Min(1, 1 / (1 + excess)));
        var result = new double[count];
        for (var k = 0; k < count; k++)
        {
            var beyond = k * excess;   // kept apart from k, so that its fraction keeps all its digits
            var whole = Math.Floor(beyond);
            result[k] = kernel.Between(samples, k + (int)whole, beyond - whole);
        }
        return result;
    }

    private static void CheckRate(int rateHz, string name)
    {
        if (rateHz is < 1 or > HighestRateHz) throw new ArgumentOutOfRangeException(name, rateHz, $"Must be in [1, {HighestRateHz}] Hz.");
    }

    private static int CheckedCount(long count, int given, string name) => count <= FourierTransform.MaximumLength
        ? (int)count
        : throw new ArgumentException($"{given} samples would become {count}; at most {FourierTransform.MaximumLength} are supported.", name);

    private static int Common(int a, int b)
    {
        while (b != 0) (a, b) = (b, a % b);
        return a;
    }
}
