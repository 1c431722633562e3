// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Decay;

/// <summary>Where a decay meets its noise: noise, late slope and the moment at which the integration must stop.</summary>
/// <param name="NoisePower">Mean square of the noise; 0 where the record ends before any noise shows.</param>
/// <param name="FloorPower">The noise, or where none shows the mean square of the record's end: at least so far down the record reaches.</param>
/// <param name="CutSamples">How many samples from the start belong to the decay.</param>
/// <param name="RatePerSample">k of the late decay p² ~ e^(−k n); 0 where nothing decays.</param>
/// <param name="LinePower">The late line p² = LinePower · e^(−k n) at the start.</param>
/// <remarks>
/// Source: A. Lundeby, T. E. Vigran, H. Bietz, M. Vorländer, Acustica 81 (1995) 344–355 (fact sheet 6.2): intervals of 10 to 50 ms, noise from the last
/// tenth, a first line down to 10 dB above it; then intervals of 2 dB of decay, noise from 7.5 dB of decay behind the crossing on, the late line over 20 dB
/// from 7.5 dB above the noise, and so again. Added here: what the line itself still holds is taken out of the noise, so that a record that ends in its
/// decay has none; and the line is laid so that it holds the energy of its stretch, because the mean of logarithms lies below the logarithm of the mean.
/// In third octaves of the deepest bass a second holds only a few independent values of noise, and a late line may follow them: where the second half of a record
/// without noise falls by no more than chance, all of that half is taken for the noise.
/// </remarks>
internal readonly record struct NoiseTail(double NoisePower, double FloorPower, int CutSamples, double RatePerSample, double LinePower)
{
    private const double LastPart = 0.1, LargestPart = 0.5;
    private const double SurelyFalls = 3;              // own choice: standard deviations
    private const double ShortestSeconds = 0.01, LongestSeconds = 0.05;
    private const double PeriodsPerInterval = 10;      // of the bandwidth, between those two
    private const int MostRounds = 6;
    private const double NoNoisePart = 0.25;           // own choice: less than this of the record's end is not told from the decay itself
    private static readonly double FirstMargin = Decibels.ToPowerRatio(10);
    private static readonly double Margin = Math.Log(Decibels.ToPowerRatio(7.5)), Stretch = Math.Log(Decibels.ToPowerRatio(20)), Step = Math.Log(Decibels.ToPowerRatio(2));

    internal bool HasDecay => RatePerSample > 0;

    /// <summary>Energy of the late line from sample <paramref name="n"/> on: fact sheet 6.4.</summary>
    internal double EnergyBehind(double n) => LinePower * Math.Exp(-RatePerSample * n) / RatePerSample;

    /// <summary>Finds them.</summary>
    /// <param name="energy">Σ p² from each sample to the end, from the start of the sound on; one more entry, 0, than there are samples.</param>
    /// <param name="rateHz">Samples per second.</param>
    /// <param name="bandwidthHz">Width of the band.</param>
    internal static NoiseTail Of(ReadOnlySpan<double> energy, double rateHz, double bandwidthHz)
    {
        var tail = Of(energy, rateHz, bandwidthHz, LastPart);
        if (!tail.IsChance(energy.Length - 1, bandwidthHz / rateHz)) return tail;
        tail = Of(energy, rateHz, bandwidthHz, LargestPart);
        return tail.IsChance(energy.Length - 1, bandwidthHz / rateHz) ? default : tail;
    }

    /// <summary>
    /// True where a record that seems to end before its noise shows may as well hold nothing but noise in its second half. Steady noise of B · D independent
    /// values seems to fall over D, one standard deviation, by π/√6 · √12 / √(B D) nepers of power: least squares through logarithms of exponential values (fact sheet 15.1).
    /// </summary>
    private bool IsChance(int count, double bandwidthPerSample)
    {
        var length = LargestPart * count;
        return HasDecay && NoisePower == 0 && RatePerSample * length < SurelyFalls * Math.PI / Math.Sqrt(6) * Math.Sqrt(12 / (bandwidthPerSample * length));
    }

    private static NoiseTail Of(ReadOnlySpan<double> energy, double rateHz, double bandwidthHz, double part)
    {
        var count = energy.Length - 1;
        var last = (int)((1 - part) * count);
        if (last >= count || energy[0] == 0) return default;
        var floor = energy[last] / (count - last);
        var first = FirstLine(energy, floor, Math.Max(1, (int)Math.Round(Math.Clamp(PeriodsPerInterval / bandwidthHz, ShortestSeconds, LongestSeconds) * rateHz)));
        if (!(first.Rate > 0)) return new(floor, floor, count, 0, 0);
        var (line, noise, cut) = (first, floor, Math.Log(first.Power / Math.Max(floor, double.Epsilon)) / first.Rate);
        for (var round = 0; round < MostRounds; round++)
        {
            var from = (int)Math.Clamp(cut + Margin / line.Rate, 0, last);
            floor = energy[from] / (count - from);
            noise = Math.Max(0, floor - line.Energy(from, count) / (count - from));
            if (noise < NoNoisePart * floor) noise = 0;
            var bottom = noise > 0 ? Math.Min(count, (Math.Log(line.Power / noise) - Margin) / line.Rate) : count;
            var next = Line.Through(energy, bottom - Stretch / line.Rate, bottom, Math.Max(1, (int)Math.Round(Step / line.Rate)), noise);
            if (!(next.Rate > 0)) break;
            var crossing = noise > 0 ? Math.Clamp(Math.Log(next.Power / noise) / next.Rate, 0, count) : count;
            var moved = Math.Abs(crossing - cut);
            (line, cut) = (next, crossing);
            if (moved < ShortestSeconds / 10 * rateHz) break;
        }
        return new(noise, noise > 0 ? noise : energy[last] / (count - last), (int)Math.Clamp(cut, 0, count), line.Rate, line.Power);
    }

    private static Line FirstLine(ReadOnlySpan<double> energy, double floor, int width)
    {
        var intervals = (energy.Length - 1) / width;
        var (peak, top) = (0, 0.0);
        for (var i = 0; i < intervals; i++)
            if (Mean(energy, i * width, width) is var mean && mean > top) (peak, top) = (i, mean);
        var end = peak;
        while (end < intervals && Mean(energy, end * width, width) >= FirstMargin * floor) end++;
        return Line.Through(energy, peak * width, Math.Max(end, peak + 3) * width, width, 0);
    }

    private static double Mean(ReadOnlySpan<double> energy, int from, int width) => (energy[from] - energy[from + width]) / width;

    /// <summary>p² = Power · e^(−Rate n).</summary>
    private readonly record struct Line(double Power, double Rate)
    {
        internal double Energy(double from, double to) => Power / Rate * (Math.Exp(-Rate * from) - Math.Exp(-Rate * to));

        /// <summary>Least squares through the logarithms of the intervals between two moments, then laid so that it holds their energy; the default where it cannot be.</summary>
        internal static Line Through(ReadOnlySpan<double> energy, double from, double to, int width, double noise)
        {
            var first = (int)Math.Max(0, Math.Ceiling(from / width));
            var end = Math.Min((energy.Length - 1) / width, (int)(to / width));
            first = Math.Max(0, Math.Min(first, end - 3));
            double n = 0, x = 0, y = 0, xx = 0, xy = 0, held = 0;
            for (var i = first; i < end; i++)
            {
                var mean = Mean(energy, i * width, width) - noise;
                held += mean * width;
                if (!(mean > 0)) continue;
                var (at, log) = (i - first + 0.5, Math.Log(mean));
                (n, x, y, xx, xy) = (n + 1, x + at, y + log, xx + at * at, xy + at * log);
            }
            var rate = (x * y - n * xy) / (n * xx - x * x) / width;
            if (!(n >= 2 && rate > 0 && held > 0)) return default;
            var power = held * rate / (Math.Exp(-rate * first * width) - Math.Exp(-rate * end * width));
            return double.IsFinite(power) ? new(power, rate) : default;
        }
    }
}
