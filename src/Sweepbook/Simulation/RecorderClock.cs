// SPDX-License-Identifier: MIT
namespace Sweepbook.Simulation;

/// <summary>What a recorder with a clock of its own writes down: the band-limited sound at its own instants.</summary>
/// <remarks>
/// y[k] = sound at (start + k / (rate · (1 + ppm / 10⁶))): a fast clock takes more samples. Each is a sine cardinal under a window of 128 samples, summed as it
/// stands, without the resampler that the analysis uses. Up to 0.44 of the sample rate exact within −140 dB; above, the level falls.
/// Source: C. E. Shannon, Proc. IRE 37 (1949) 10–21 (the cardinal series); the window of seven cosines after H. H. Albrecht, "A Family of Cosine-Sum
/// Windows for High-Resolution Measurements", IEEE ICASSP (2001), coefficients from memory, checked by the test of tones.
/// </remarks>
internal static class RecorderClock
{
    private const int HalfWidth = 64;
    private static readonly double[] WindowTerms = [0.27105140069342, 0.43329793923448, 0.21812299954311, 0.06592544638803, 0.01081174209837, 0.00077658482522, 0.00001388721735];

    /// <param name="sound">The sound at the player's instants; silence outside.</param>
    /// <param name="sampleRateHz">The rate that both clocks are meant to have.</param>
    /// <param name="startSeconds">When the recorder starts after the player; below zero, before it.</param>
    /// <param name="fastPpm">By how many millionths the recorder's clock is fast.</param>
    /// <param name="count">How many samples it writes.</param>
    internal static double[] Record(ReadOnlySpan<double> sound, int sampleRateHz, double startSeconds, double fastPpm, int count)
    {
        var (recorded, first, step) = (new double[count], startSeconds * sampleRateHz, 1 / (1 + fastPpm * 1e-6));
        for (var k = 0; k < count; k++)
        {
            var place = first + k * step;
            var whole = (int)Math.Floor(place);
            var fraction = place - whole;
            if (fraction == 0)
            {
                if (whole >= 0 && whole < sound.Length) recorded[k] = sound[whole];
                continue;
            }
            var sum = 0.0;
            for (var n = Math.Max(0, whole - HalfWidth + 1); n <= Math.Min(sound.Length - 1, whole + HalfWidth); n++)
            {
                var distance = place - n;
                sum += ((n - whole) % 2 == 0 ? sound[n] : -sound[n]) * WindowAt(distance) / distance;
            }
            recorded[k] = sum * Math.Sin(Math.PI * fraction) / Math.PI;   // sin(π(fraction + m)) = (−1)^m sin(π · fraction)
        }
        return recorded;
    }

    /// <summary>Σ aₘ cos(πmd / half width), the cosines by their recurrence.</summary>
    private static double WindowAt(double distance)
    {
        var cosine = Math.Cos(Math.PI * distance / HalfWidth);
        var (before, now, sum) = (1.0, cosine, WindowTerms[0] + WindowTerms[1] * cosine);
        for (var m = 2; m < WindowTerms.Length; m++)
        {
            (before, now) = (now, 2 * cosine * now - before);
            sum += WindowTerms[m] * now;
        }
        return sum;
    }
}
