// SPDX-License-Identifier: MIT
namespace Sweepbook.Studies;

/// <summary>The loopback channel beside the stimulus, block by block: is it still the same sweep, and how loud is it?</summary>
/// <remarks>
/// In each block the channel is fitted by the delayed stimulus and its difference quotient, which stands a quarter of a period ahead: gain and phase may be
/// anything, but a block in which the recorder lost or repeated samples fits neither before nor after. Source: derived (linear least squares).
/// </remarks>
internal sealed class LoopbackTrack
{
    private const int ShortestBlock = 256;
    private const int BesideBlocks = 3;             // judged against as many blocks before and after, one block away
    private const double SmallMisfit = 2e-3;        // of the power: a jump of phase by 5°, which 24-bit converters never make
    private const double StandsOut = 30;            // times the misfit of the better side: noise and leaks are steady
    private const double LargeMisfit = 0.3;         // of the power: this is not the sweep that should play now
    private const double FittingMisfit = 0.02;      // a room never comes so close over many blocks
    private const double CloseMisfit = 1e-3;
    private const int CloseBlocks = 10;
    private const double FittingPart = 0.25;
    private const double StepMisfit = 5e-4;
    private const double StepRatio = 100;
    private const double StepFromHz = 40;           // below, the coupling of an input is still settling
    private const double HighestPartOfRate = 0.4;   // above, the difference quotient fades
    private readonly List<Block> _blocks = [];

    internal LoopbackTrack(TakeEvidence evidence)
    {
        var (reference, stimulus) = (evidence.Reading.Reference!, evidence.Stimulus);
        var late = evidence.ReferenceSamples!.Value;
        var design = stimulus.Description;
        var first = stimulus.SweepStart + late + (int)(design.FadeInSeconds * evidence.SampleRateHz);
        var end = Math.Min(stimulus.SweepEnd + late - (int)(design.FadeOutSeconds * evidence.SampleRateHz), reference.Length);
        for (var n = Math.Max(first, 0); ;)
        {
            var frequencyHz = evidence.FrequencyAt(n, late);
            var length = Math.Max(ShortestBlock, (int)(evidence.SampleRateHz / frequencyHz));
            if (n + length > end || frequencyHz > HighestPartOfRate * evidence.SampleRateHz) break;
            _blocks.Add(Fit(reference.AsSpan(n, length), stimulus.Samples, n - late, n, frequencyHz));
            n += length;
        }
    }

    /// <summary>One block: where, at which frequency, how much of its power is not the stimulus, and its level over the stimulus.</summary>
    internal readonly record struct Block(int First, int Length, double FrequencyHz, double MisfitRatio, double GainRatio);

    internal IReadOnlyList<Block> Blocks => _blocks;

    /// <summary>Median misfit of all blocks, of the power; 1 where there are none.</summary>
    internal double Misfit => _blocks.Count == 0 ? 1 : _blocks.Select(block => block.MisfitRatio).Order().ElementAt(_blocks.Count / 2);

    /// <summary>True where a quarter of the blocks, or several in a row very closely, hold the stimulus and little else: a loopback, though perhaps a broken one.</summary>
    internal bool IsLoopback
    {
        get
        {
            var (fitting, run) = (0, 0);
            foreach (var block in _blocks)
            {
                if (block.MisfitRatio < FittingMisfit) fitting++;
                run = block.MisfitRatio < CloseMisfit ? run + 1 : 0;
                if (run >= CloseBlocks) return true;
            }
            return _blocks.Count > 0 && fitting >= FittingPart * _blocks.Count;
        }
    }

    /// <summary>Places where the loopback stops being the same sweep, one for each run of such blocks.</summary>
    internal List<Stretch> Breaks()
    {
        var found = new List<Stretch>();
        for (var k = 0; k < _blocks.Count; k++)
        {
            if (!IsBroken(k) && !IsStep(k)) continue;
            var (block, previous) = (_blocks[k], found.Count > 0 ? found[^1] : default);
            if (found.Count > 0 && previous.First + previous.Length >= block.First - ShortestBlock) found[^1] = previous with { Length = block.First + block.Length - previous.First };
            else found.Add(new(block.First, block.Length));
        }
        return found;
    }

    private bool IsBroken(int k)
    {
        if (_blocks[k].MisfitRatio < SmallMisfit || k < 1 + BesideBlocks || k + 1 + BesideBlocks >= _blocks.Count) return false;
        var (before, after) = (Middle(k - 1 - BesideBlocks), Middle(k + 2));
        return _blocks[k].MisfitRatio > StandsOut * Math.Max(before, after) || (_blocks[k].MisfitRatio > LargeMisfit && Math.Min(before, after) < FittingMisfit);
    }

    /// <summary>
    /// A loss that happens to be a whole number of periods long leaves no jump, but from there on the stimulus beside it is another part of the sweep, and the
    /// fit is worse by orders of magnitude on one side.
    /// </summary>
    private bool IsStep(int k)
    {
        if (k < 1 + BesideBlocks || k + 1 + BesideBlocks >= _blocks.Count || _blocks[k].FrequencyHz < StepFromHz) return false;
        var (before, after) = (Middle(k - 1 - BesideBlocks), Middle(k + 2));
        return Math.Max(before, after) > StepMisfit && Math.Max(before, after) > StepRatio * Math.Min(before, after);
    }

    /// <summary>Median misfit of three blocks.</summary>
    private double Middle(int first)
    {
        var (a, b, c) = (_blocks[first].MisfitRatio, _blocks[first + 1].MisfitRatio, _blocks[first + 2].MisfitRatio);
        return Math.Max(Math.Min(a, b), Math.Min(Math.Max(a, b), c));
    }

    private static Block Fit(ReadOnlySpan<double> channel, ReadOnlySpan<double> stimulus, int at, int first, double frequencyHz)
    {
        var (uu, vv, uv, ru, rv, rr) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
        for (var n = 0; n < channel.Length; n++)
        {
            var k = at + n;
            if (k < 1 || k + 1 >= stimulus.Length) continue;
            var (r, u, v) = (channel[n], stimulus[k], stimulus[k + 1] - stimulus[k - 1]);
            uu += u * u;
            vv += v * v;
            uv += u * v;
            ru += r * u;
            rv += r * v;
            rr += r * r;
        }
        var determinant = uu * vv - uv * uv;
        if (!(determinant > 0) || rr == 0) return new(first, channel.Length, frequencyHz, rr == 0 && uu > 0 ? 1 : 0, 0);
        var explained = (ru * ru * vv - 2 * ru * rv * uv + rv * rv * uu) / determinant;
        return new(first, channel.Length, frequencyHz, Math.Max(0, 1 - explained / rr), Math.Sqrt(rr / uu));
    }
}
