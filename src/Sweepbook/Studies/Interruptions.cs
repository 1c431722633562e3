// SPDX-License-Identifier: MIT
namespace Sweepbook.Studies;

/// <summary>A stretch of a recording that the recorder made up.</summary>
/// <param name="First">Its first sample.</param>
/// <param name="Length">How long it is, in samples.</param>
internal readonly record struct Stretch(int First, int Length);

/// <summary>Stretches that no converter delivers: zeros in the middle of sound, and a buffer that stands in the file twice.</summary>
/// <remarks>
/// A converter adds noise of its own, so that two stretches of sound are never equal to the last step. Files of coarse steps are: their waves stand still at
/// a crest or cross zero slowly. So both tests ask that the sound beside moves by many steps, and that the stretch ends abruptly. Source: derived.
/// </remarks>
internal static class Interruptions
{
    private const int ShortestZeros = 16;            // the smallest buffer in use
    private const int BesideSamples = 32;            // what is compared with the zeros on either side
    private const double LoudSteps = 8;              // a wave that moves by that many steps within 32 samples stays at zero for a few samples only
    private const double CutSteps = 6;
    private const double CutPart = 0.1;              // of the highest sample beside
    private const int ShortestRepeat = 32;
    private const int LongestLag = 4096;
    private const int LagStep = 16;                  // sizes of buffers are multiples of it, or one of the odd ones
    private const int HashBits = 16;
    private const double ShortestMovementSteps = 64; // the repeated stretch itself must have moved that far in all
    private const double BreakSteps = 4;             // and differ that much, on the mean, from the end of the repeat on
    private static readonly int[] OddLags = [220, 221, 441, 882, 1764];   // 5, 10, 20 and 40 ms at 44.1 kHz

    /// <param name="samples">One channel as it stands in the file.</param>
    /// <param name="step">The smallest step of the file.</param>
    /// <returns>Runs of exact zeros that cut into sound.</returns>
    internal static List<Stretch> Zeros(ReadOnlySpan<double> samples, double step)
    {
        var found = new List<Stretch>();
        for (var n = 0; n < samples.Length;)
        {
            if (samples[n] != 0)
            {
                n++;
                continue;
            }
            var end = n + 1;
            while (end < samples.Length && samples[end] == 0) end++;
            if (end - n >= ShortestZeros && n >= BesideSamples && end + BesideSamples <= samples.Length
                && IsLoud(samples.Slice(n - BesideSamples, BesideSamples), step) && IsLoud(samples.Slice(end, BesideSamples), step)
                && IsCut(samples, n, end, step))
                found.Add(new(n, end - n));
            n = end;
        }
        return found;
    }

    /// <param name="samples">One channel as it stands in the file.</param>
    /// <param name="step">The smallest step of the file.</param>
    /// <returns>Stretches that repeat, to the last step, what stood there up to 4096 samples earlier.</returns>
    internal static List<Stretch> Repeats(ReadOnlySpan<double> samples, double step)
    {
        var found = new List<Stretch>();
        var lastWithHash = new int[1 << HashBits];   // every sixteenth place, by three samples that stand there
        for (var n = LagStep; n + ShortestRepeat / 2 <= samples.Length; n += LagStep)
        {
            ref var last = ref lastWithHash[Hash(samples, n)];
            if (last > 0 && n - last is >= ShortestRepeat and <= LongestLag) n = Follow(samples, n, n - last, step, found);
            last = n;
        }
        foreach (var lag in OddLags)
            for (var n = lag; n + ShortestRepeat / 2 <= samples.Length; n += LagStep) n = Follow(samples, n, lag, step, found);
        found.Sort((one, other) => one.First.CompareTo(other.First));
        return found;
    }

    /// <summary>How far both ways a place equals the one a lag before it; a long enough stretch is kept. Returns where to go on.</summary>
    private static int Follow(ReadOnlySpan<double> samples, int n, int lag, double step, List<Stretch> found)
    {
        if (samples[n] != samples[n - lag] || samples[n + 1] != samples[n + 1 - lag] || samples[n + 2] != samples[n + 2 - lag]) return n;
        var (first, end) = (n, n + 3);
        while (end < samples.Length && samples[end] == samples[end - lag]) end++;
        while (first > lag && samples[first - 1] == samples[first - 1 - lag]) first--;
        if (end - first < ShortestRepeat) return n;
        if (IsRepeat(samples, first, end, lag, step) && !found.Any(other => other.First < end && first < other.First + other.Length)) found.Add(new(first, end - first));
        return Math.Max(n, (end - LagStep) / LagStep * LagStep);
    }

    private static int Hash(ReadOnlySpan<double> samples, int n)
    {
        var bits = BitConverter.DoubleToUInt64Bits(samples[n]) * 3 + BitConverter.DoubleToUInt64Bits(samples[n + 1]) * 5 + BitConverter.DoubleToUInt64Bits(samples[n + 2]) * 7;
        return (int)((bits * 0x9E3779B97F4A7C15UL) >> (64 - HashBits));
    }

    private static bool IsLoud(ReadOnlySpan<double> beside, double step)
    {
        var (low, high) = (double.PositiveInfinity, double.NegativeInfinity);
        foreach (var sample in beside) (low, high) = (Math.Min(low, sample), Math.Max(high, sample));
        return high - low >= LoudSteps * step && Math.Max(Math.Abs(low), Math.Abs(high)) >= LoudSteps * step;
    }

    /// <summary>A wave that comes to rest by itself is a step or two from zero before and after; one that was cut jumps on at least one side.</summary>
    private static bool IsCut(ReadOnlySpan<double> samples, int first, int end, double step)
    {
        var edge = Math.Max(Math.Abs(samples[first - 1]), Math.Abs(samples[end]));
        return edge >= CutSteps * step
            && edge >= CutPart * Math.Max(TakeReading.Peak(samples.Slice(first - BesideSamples, BesideSamples)), TakeReading.Peak(samples.Slice(end, BesideSamples)));
    }

    private static bool IsRepeat(ReadOnlySpan<double> samples, int first, int end, int lag, double step)
    {
        var movement = 0.0;
        for (var n = first + 1; n < end; n++) movement += Math.Abs(samples[n] - samples[n - 1]);
        if (!(movement >= ShortestMovementSteps * step)) return false;
        var (after, count) = (0.0, Math.Min(ShortestZeros, samples.Length - end));
        for (var n = end; n < end + count; n++) after += Math.Abs(samples[n] - samples[n - lag]);
        return count > 0 && after / count >= BreakSteps * step;
    }
}
