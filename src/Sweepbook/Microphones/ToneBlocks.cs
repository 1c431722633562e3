// SPDX-License-Identifier: MIT
using MathNet.Numerics.Statistics;
using Sweepbook.Quantities;
using Sweepbook.Transforms;

namespace Sweepbook.Microphones;

/// <summary>A recording cut into overlapping blocks of a quarter of a second: whether each holds the wanted tone, its level and its frequency.</summary>
/// <remarks>
/// Frequency of a block: from the ratio of the two largest bins under a Hann window, exact for a lone sine. Level: the transform at exactly that frequency.
/// Side lobes of a neighbour d bins away are below 0.6 / d³ of it: hum beside a tone of 250 Hz counts 1e-5. Source: F. J. Harris, Proc. IEEE 66 (1978) 51–83.
/// </remarks>
internal sealed class ToneBlocks
{
    private const double BlockSeconds = 0.25;
    private const int Hops = 2;                     // blocks overlap by half
    private const double ToneShareRatio = 0.9;      // of what is not hum: noise may come within 10 dB
    private const double SearchRatio = 0.03;        // a little more than the tolerance of the frequency, so that a tone outside it is still read
    private const int LobeBins = 3;
    private const double LowestHz = 20;
    private const double FadedDb = 3;               // within that of the loudest second a tone counts as sounding
    private const double FullScaleRatio = 0.9999;   // one 16-bit step below full scale is 0.99997

    private readonly double[] _samples, _window;
    private readonly int _rate, _length, _hop;
    private readonly double _wantedHz;
    private readonly Block[] _blocks;

    internal ToneBlocks(ReadOnlySpan<double> samples, int sampleRateHz, double wantedHz)
    {
        (_samples, _rate, _wantedHz) = (samples.ToArray(), sampleRateHz, wantedHz);
        _length = FourierTransform.NextFastLength((int)Math.Ceiling(BlockSeconds * sampleRateHz));
        _hop = _length / Hops;
        _window = Window.HannPeriodic(_length);
        _blocks = [.. Enumerable.Range(0, Math.Max(0, (samples.Length - _length) / _hop + 1)).Select(BlockAt)];
    }

    /// <summary>One block: level of the wanted tone in dBFS, its frequency, its share of what is not hum; the strongest line and its share of everything.</summary>
    private readonly record struct Block(double LevelDb, double Hz, double ShareRatio, double StrongestHz, double StrongestRatio, double TotalDb)
    {
        internal bool IsTone => ShareRatio >= ToneShareRatio;
    }

    /// <summary>Blocks from one on, and how long they last together.</summary>
    internal readonly record struct Stretch(int First, int Count, double Seconds);

    internal double TotalSeconds => (double)_samples.Length / _rate;

    /// <summary>Level of everything in the loudest block, as a sine of that power.</summary>
    internal double LoudestDbfs => _blocks.Length == 0 ? double.NegativeInfinity : _blocks.Max(block => block.TotalDb);

    /// <summary>The time that something sounds: blocks within 20 dB of the loudest.</summary>
    internal double SoundingSeconds => SecondsOf(_blocks.Count(block => block.TotalDb > LoudestDbfs - 20));

    /// <summary>All blocks in which the tone sounds, within 3 dB of their median.</summary>
    internal Stretch Tone
    {
        get
        {
            var count = _blocks.Count(Sounds);
            return new(Array.FindIndex(_blocks, Sounds), count, SecondsOf(count));
        }
    }

    /// <summary>By how much the tone wanders while it sounds.</summary>
    internal double RangeDb => _blocks.Where(Sounds).Select(block => block.LevelDb).DefaultIfEmpty().Max() - _blocks.Where(Sounds).Select(block => block.LevelDb).DefaultIfEmpty().Min();

    /// <summary>Median share of the wanted line in the power of the louder half of the blocks.</summary>
    internal double ShareRatio => _blocks.Length == 0 ? 0 : _blocks.OrderByDescending(block => block.TotalDb).Take((_blocks.Length + 1) / 2).Select(block => block.ShareRatio).Median();

    /// <summary>Another tone that most of the recording holds; null where there is none.</summary>
    internal double? OtherHz
    {
        get
        {
            var others = _blocks.Where(block => block.StrongestRatio >= ToneShareRatio).Select(block => block.StrongestHz).ToList();
            if (others.Count == 0 || 2 * others.Count < _blocks.Count(block => block.TotalDb > LoudestDbfs - 20)) return null;
            var median = others.Median();
            return Math.Abs(median - _wantedHz) > SearchRatio * _wantedHz && 2 * others.Count(hz => Math.Abs(hz - median) < median / 100) > others.Count ? median : null;
        }
    }

    private bool Sounds(Block block) => block.IsTone && Math.Abs(block.LevelDb - ToneLevelDb) <= FadedDb;

    private double ToneLevelDb => _toneLevelDb ??= _blocks.Any(block => block.IsTone) ? _blocks.Where(block => block.IsTone).Select(block => block.LevelDb).Median() : double.NaN;

    private double? _toneLevelDb;

    /// <summary>The longest run of blocks whose levels stay within a range, less the block at either end.</summary>
    internal Stretch Steadiest(double rangeDb)
    {
        var best = new Stretch(0, 0, 0);
        bool[] sounds = [.. _blocks.Select(Sounds)];
        for (var first = 0; first < _blocks.Length; first++)
        {
            var (low, high, count) = (double.PositiveInfinity, double.NegativeInfinity, 0);
            for (var n = first; n < _blocks.Length && sounds[n]; n++, count++)
            {
                (low, high) = (Math.Min(low, _blocks[n].LevelDb), Math.Max(high, _blocks[n].LevelDb));
                if (high - low > rangeDb) break;
            }
            if (count - 2 > best.Count) best = new(first + 1, count - 2, SecondsOf(count - 2));
        }
        return best;
    }

    /// <summary>The tone within a stretch.</summary>
    internal CalibratorReading Read(Stretch stretch)
    {
        var blocks = _blocks.AsSpan(stretch.First, stretch.Count).ToArray();
        var powers = blocks.Select(block => Decibels.ToPowerRatio(block.LevelDb)).Average();
        var hz = blocks.Average(block => block.Hz);
        var scatter = Math.Sqrt(blocks.Sum(block => (block.Hz - hz) * (block.Hz - hz)) / Math.Max(1, blocks.Length - 1));
        var beside = ToneCompany.Of(_samples.AsSpan(stretch.First * _hop, (stretch.Count - 1) * _hop + _length), _rate, _length, hz);
        return new()
        {
            LevelDbfs = Decibels.FromPower(powers),
            FrequencyHz = hz,
            FrequencyUncertaintyHz = 2 * scatter / Math.Sqrt(blocks.Length / (double)Hops),   // overlapping blocks are not independent
            FromSeconds = (double)stretch.First * _hop / _rate,
            ToSeconds = (double)(stretch.First * _hop + (stretch.Count - 1) * _hop + _length) / _rate,
            FluctuationDb = (blocks.Max(block => block.LevelDb) - blocks.Min(block => block.LevelDb)) / 2,
            SnrDb = beside.SnrDb,
            HumDb = beside.HumDb,
            HumHz = beside.HumHz,
            HarmonicsPercent = beside.HarmonicsPercent,
            Caution = "",
        };
    }

    internal int ClippedIn(Stretch stretch)
    {
        var clipped = 0;
        foreach (var sample in _samples.AsSpan(stretch.First * _hop, (stretch.Count - 1) * _hop + _length))
            if (Math.Abs(sample) >= FullScaleRatio) clipped++;
        return clipped;
    }

    /// <summary>50 or 60 where a frequency is one of the first three lines of such mains, which are its strongest, within 1 Hz; else null: 250 Hz is a calibrator's.</summary>
    internal static double? MainsOf(double frequencyHz)
    {
        foreach (var mainsHz in new[] { 50.0, 60.0 })
            if (frequencyHz < 3.5 * mainsHz && Math.Abs(frequencyHz - mainsHz * Math.Max(1, Math.Round(frequencyHz / mainsHz))) < 1) return mainsHz;
        return null;
    }

    private double SecondsOf(int blocks) => blocks <= 0 ? 0 : (double)((blocks - 1) * _hop + _length) / _rate;

    private Block BlockAt(int index)
    {
        var tapered = new double[_length];
        var samples = _samples.AsSpan(index * _hop, _length);
        var mean = 0.0;
        foreach (var sample in samples) mean += sample / _length;
        for (var n = 0; n < _length; n++) tapered[n] = (samples[n] - mean) * _window[n];
        var powers = Array.ConvertAll(FourierTransform.OfReal(tapered, _length), bin => bin.Real * bin.Real + bin.Imaginary * bin.Imaginary);
        var binHz = (double)_rate / _length;
        var lowest = Math.Max(LobeBins, (int)Math.Ceiling(LowestHz / binHz));
        var total = Sum(powers, lowest - LobeBins, powers.Length - 1);
        var wanted = Largest(powers, Math.Max(lowest, (int)Math.Floor(_wantedHz * (1 - SearchRatio) / binHz)), (int)Math.Ceiling(_wantedHz * (1 + SearchRatio) / binHz));
        var strongest = Largest(powers, lowest, powers.Length - 1 - LobeBins);
        var (hz, strongestHz) = (LineHz(powers, wanted, binHz), LineHz(powers, strongest, binHz));
        var line = Sum(powers, wanted - LobeBins, wanted + LobeBins);
        var rest = total - Hum(powers, binHz, wanted);
        var amplitude = 2 * DiscreteTimeTransform.At(tapered, 0, _rate, [hz])[0].Magnitude / (_length / 2.0);   // Σw of a periodic Hann window is half its length
        const double HannEnergy = 3 / 8.0;
        return new(Decibels.FromAmplitude(amplitude), hz, rest > 0 ? line / rest : 0, strongestHz, total > 0 ? Sum(powers, strongest - LobeBins, strongest + LobeBins) / total : 0,
            Decibels.FromPower(4 * total / ((double)_length * _length * HannEnergy)));
    }

    /// <summary>The larger of what lies on lines of 50 and of 60 Hz, away from the wanted tone.</summary>
    private static double Hum(double[] powers, double binHz, int wanted)
    {
        var largest = 0.0;
        foreach (var mainsHz in new[] { 50.0, 60.0 })
        {
            var hum = 0.0;
            for (var n = 1; n <= 10; n++)
            {
                var bin = (int)Math.Round(n * mainsHz / binHz);
                if (Math.Abs(bin - wanted) > 2 * LobeBins && bin + LobeBins < powers.Length) hum += Sum(powers, bin - LobeBins, bin + LobeBins);
            }
            largest = Math.Max(largest, hum);
        }
        return largest;
    }

    private static int Largest(double[] powers, int from, int to)
    {
        var best = Math.Min(from, powers.Length - 2);
        for (var k = best; k <= Math.Min(to, powers.Length - 2); k++)
            if (powers[k] > powers[best]) best = k;
        return best;
    }

    private static double LineHz(double[] powers, int k, double binHz)
    {
        if (powers[k] == 0) return k * binHz;
        var isUp = powers[k + 1] >= powers[k - 1];
        var ratio = Math.Sqrt((isUp ? powers[k + 1] : powers[k - 1]) / powers[k]);
        var part = Math.Clamp((2 * ratio - 1) / (1 + ratio), -0.5, 1);
        return (k + (isUp ? part : -part)) * binHz;
    }

    private static double Sum(double[] powers, int from, int to)
    {
        var sum = 0.0;
        for (var k = Math.Max(0, from); k <= Math.Min(to, powers.Length - 1); k++) sum += powers[k];
        return sum;
    }
}
