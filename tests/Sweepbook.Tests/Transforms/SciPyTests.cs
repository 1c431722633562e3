// SPDX-License-Identifier: MIT
using System.Numerics;
using System.Text.Json;
using Sweepbook.Transforms;
using Xunit;
using static Sweepbook.Tests.Transforms.SlowFourier;

namespace Sweepbook.Tests.Transforms;

/// <summary>Numbers made by SciPy; tests/reference/ORIGIN-transforms.md says how.</summary>
public sealed class SciPyTests
{
    /// <summary>The promise of the transform, 1e-15 · log2 N relative rms; SciPy's side is 80-bit and adds nothing.</summary>
    private static double Promise(int length) => 1e-15 * Math.Log2(length);

    /// <summary>Two transforms of 240 on either side, in double.</summary>
    private const double FourTransforms = 4 * 8e-15;

    /// <summary>Three transforms of 320 on either side.</summary>
    private const double SixTransforms = 6 * 9e-15;

    /// <summary>Weights up to 1 from up to three cosines, rounded on either side.</summary>
    private const double Rounding = 1e-15;

    private static readonly JsonElement Golden = JsonDocument.Parse(File.ReadAllText(Reference("transforms.json"))).RootElement;

    private readonly double[] _x = Pattern(240, 3), _y = Pattern(75, 5);

    [Fact]
    public void Bins_of_real_samples_agree() =>
        Assert.InRange(RelativeRms(Complexes("rfft_240"), FourierTransform.OfReal(_x, 240)), 0, Promise(240));

    [Fact]
    public void Bins_of_an_odd_length_agree()
    {
        Complex[] expected = Complexes("fft_75"), bins = FourierTransform.Forward(SlowFourier.Complexes(_y));
        Assert.InRange(RelativeRms(expected, bins), 0, Promise(75));
        Assert.InRange(RelativeRms(expected[..38], FourierTransform.OfReal(_y, 75)), 0, Promise(75));
    }

    [Fact]
    public void Bins_of_a_long_transform_agree()
    {
        const int Length = 240000;
        double[] samples = [.. Enumerable.Range(0, Length).Select(n => (long)n * n * 3 % 65537 / 65536.0 - 0.5)];
        var bins = FourierTransform.OfReal(samples, Length);
        var picked = Golden.GetProperty("rfft_240000").GetProperty("k").EnumerateArray().Select(k => bins[k.GetInt32()]).ToArray();
        Assert.InRange(RelativeRms(Complexes("rfft_240000"), picked), 0, Promise(Length));
    }

    [Fact]
    public void Samples_from_bins_agree()
    {
        Complex[] squared = [.. FourierTransform.OfReal(_x, 240).Select(bin => bin * bin)];
        Assert.InRange(RelativeRms(Numbers("irfft_240_of_squared_bins"), FourierTransform.ToReal(squared, 240)), 0, FourTransforms);
    }

    [Fact]
    public void Convolution_agrees() =>
        Assert.InRange(RelativeRms(Numbers("fftconvolve_240_75"), Convolution.Linear(_x, _y)), 0, SixTransforms);

    [Fact]
    public void Correlation_agrees() =>
        Assert.InRange(RelativeRms(Numbers("correlate_240_75"), Correlation.Of(_x, _y).ToArray()), 0, SixTransforms);

    [Fact]
    public void The_spectrum_between_the_bins_agrees()
    {
        var table = Golden.GetProperty("freqz_240");
        var values = DiscreteTimeTransform.At(_x, 0, 48000, Numbers(table.GetProperty("hz")));
        const double OfSumOfSamples = 1e-12;   // freqz evaluates a polynomial of degree 239 with a rounded e^(−jω)
        var size = _x.Sum(Math.Abs);
        var expected = Complexes("freqz_240");
        Assert.Equal(expected.Length, values.Length);
        for (var k = 0; k < values.Length; k++) Assert.InRange((values[k] - expected[k]).Magnitude / size, 0, OfSumOfSamples);
    }

    [Fact]
    public void Next_fast_lengths_agree() => Assert.All(Golden.GetProperty("next_fast_len").EnumerateArray(),
        pair => Assert.Equal(pair[1].GetInt32(), FourierTransform.NextFastLength(pair[0].GetInt32())));

    public static TheoryData<string, Func<double[]>> Windows => new()
    {
        { "hann_33", () => Window.Hann(33) },
        { "hann_32_periodic", () => Window.HannPeriodic(32) },
        { "hamming_33", () => Window.Hamming(33) },
        { "hamming_32_periodic", () => Window.HammingPeriodic(32) },
        { "blackman_33", () => Window.Blackman(33) },
        { "blackman_32_periodic", () => Window.BlackmanPeriodic(32) },
        { "tukey_40_ratio_0.3", () => Window.Tukey(40, 0.3) },
    };

    [Theory, MemberData(nameof(Windows))]
    public void Windows_agree(string name, Func<double[]> window)
    {
        double[] expected = Numbers(name), weights = window();
        Assert.Equal(expected.Length, weights.Length);
        for (var k = 0; k < weights.Length; k++) Assert.Equal(expected[k], weights[k], Rounding);
    }

    private static double[] Pattern(int count, int factor) => [.. Enumerable.Range(0, count).Select(n => n * n * factor % 257 / 256.0 - 0.5)];

    private static double[] Numbers(string key) => Numbers(Golden.GetProperty(key));

    private static double[] Numbers(JsonElement list) => [.. list.EnumerateArray().Select(number => number.GetDouble())];

    private static Complex[] Complexes(string key)
    {
        var parts = Golden.GetProperty(key);
        return [.. Numbers(parts.GetProperty("re")).Zip(Numbers(parts.GetProperty("im")), (re, im) => new Complex(re, im))];
    }

    private static string Reference(string name)
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(folder.FullName, "Sweepbook.slnx")))
            folder = folder.Parent ?? throw new DirectoryNotFoundException($"No Sweepbook.slnx above {AppContext.BaseDirectory}; run the tests from a clone.");
        return Path.Combine(folder.FullName, "tests", "reference", name);
    }
}
