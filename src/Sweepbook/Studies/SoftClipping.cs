// SPDX-License-Identifier: MIT
namespace Sweepbook.Studies;

/// <summary>Whether the loudest waves are squeezed by an input, without ever standing flat.</summary>
/// <remarks>
/// A memoryless limit behind the room bends the recorded wave itself: what the linear path leaves over is then a cube of that very wave, in step with it, at
/// every frequency at which it was loud. A loudspeaker bends its wave before the room, so that the room shifts third harmonic against fundamental by a
/// different phase at each frequency, and it bends the bass alone. Where the loud part of a take spans less than three octaves, as
/// with a subwoofer, the two cannot be told apart, and nothing is said. Source: derived from sin³θ = ¾ sin θ − ¼ sin 3θ.
/// </remarks>
internal static class SoftClipping
{
    private const double LoudDb = 6;                 // waves within this of the loudest are where a limit bends most
    private const double InStep = -0.25;             // correlation with the cube: a limit gives −0.4 and less, a room at random 0 ± 0.02 over so many octaves
    private const double SquashRatio = 0.005;        // cube's part of the wave: about 1.5 dB of compression at the crest
    private const double WantedOctaves = 3;
    private const int FewestFrames = 6;

    /// <summary>What was found: correlation with the cube, the cube's part, and how many octaves were loud enough to be asked.</summary>
    internal readonly record struct Squeeze(double Correlation, double PartRatio, double Octaves, int Frames)
    {
        internal bool IsFault => Frames >= FewestFrames && Octaves >= WantedOctaves && Correlation <= InStep && PartRatio >= SquashRatio;
    }

    internal static Squeeze Of(TakeEvidence evidence)
    {
        var (wave, rest) = (evidence.Reading.Microphone, evidence.Remainder);
        var (first, end) = evidence.Sounding;
        var frame = evidence.Bands.FrameSamples;
        var levels = new List<(int First, double Power)>();
        for (var n = first; n + frame <= end; n += frame) levels.Add((n, TakeReading.RootMeanSquare(wave.AsSpan(n, frame)) is var rms ? rms * rms : 0));
        if (levels.Count == 0) return default;
        var loudest = levels.Max(level => level.Power) * Quantities.Decibels.ToPowerRatio(-LoudDb);
        var (cross, cubes, rests, waves, count) = (0.0, 0.0, 0.0, 0.0, 0);
        var (lowHz, highHz) = (double.PositiveInfinity, 0.0);
        var half = (Low: (Cross: 0.0, Cubes: 0.0, Rests: 0.0), High: (Cross: 0.0, Cubes: 0.0, Rests: 0.0));
        var loud = levels.Where(level => level.Power >= loudest).ToList();
        var middle = loud.Count / 2;
        for (var k = 0; k < loud.Count; k++)
        {
            var (n, frequencyHz) = (loud[k].First, evidence.FrequencyAt(loud[k].First + frame / 2, evidence.SoundSamples));
            if (3 * frequencyHz > 0.45 * evidence.SampleRateHz) continue;   // the third harmonic is not in the file
            var w = wave.AsSpan(n, frame);
            var r = rest.AsSpan(n, frame);
            var (square, fourth, xr, cr, cc, rr) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
            for (var i = 0; i < frame; i++) (square, fourth) = (square + w[i] * w[i], fourth + w[i] * w[i] * w[i] * w[i]);
            for (var i = 0; i < frame; i++)
            {
                var cube = w[i] * w[i] * w[i] - fourth / square * w[i];
                (xr, cr, cc, rr) = (xr + w[i] * r[i], cr + cube * r[i], cc + cube * cube, rr + r[i] * r[i]);
            }
            (cross, cubes, rests, waves, count) = (cross + cr, cubes + cc, rests + rr, waves + square, count + 1);
            if (k < middle) half.Low = (half.Low.Cross + cr, half.Low.Cubes + cc, half.Low.Rests + rr);
            else half.High = (half.High.Cross + cr, half.High.Cubes + cc, half.High.Rests + rr);
            (lowHz, highHz) = (Math.Min(lowHz, frequencyHz), Math.Max(highHz, frequencyHz));
        }
        if (count == 0 || cubes == 0 || rests == 0) return default;
        var worst = Math.Max(Correlation(half.Low.Cross, half.Low.Cubes, half.Low.Rests), Correlation(half.High.Cross, half.High.Cubes, half.High.Rests));
        return new(Math.Max(worst, cross / Math.Sqrt(cubes * rests)), Math.Abs(cross) / Math.Sqrt(cubes * waves), Math.Log2(highHz / lowHz), count);
    }

    private static double Correlation(double cross, double cubes, double rests) => cubes > 0 && rests > 0 ? cross / Math.Sqrt(cubes * rests) : 0;
}
