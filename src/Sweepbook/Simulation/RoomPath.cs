// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Rooms;

namespace Sweepbook.Simulation;

/// <summary>The room as the simulation knows it.</summary>
internal sealed record AcousticRoom(RectangularRoom Room, DecayByFrequency Decay, double CrossoverHz, double LeakHz);

/// <summary>
/// From one source to one seat: damped modes below the crossover, image sources above, joined by G and 1 − G of <see cref="LowPassKernel"/>.
/// </summary>
/// <remarks>
/// Losses above the crossover: the images fall as e^(−6.9078 (t − d/c) / T60), once for each planned decay time, and of each copy its own band is kept by
/// differences of the same kernels; so the planned decay is exact and the direct sound arrives unchanged at d/c.
/// A source with an aim becomes (1 + cos θ) / 2 above its beam frequency, band by band. Images are cut, with a fade, after 1.2 of the longest decay time.
/// Both halves describe the same room; what they differ by (the decay times, the leak) rings within 5 / crossover around the direct sound, weakly.
/// </remarks>
internal sealed class RoomPath
{
    private const double TaperRatio = 2;             // the modes fade out an octave above the crossover
    public const double LengthPerT60Ratio = 1.2;    // images are cut 72 dB down
    private const double FadeRatio = 0.15;

    private readonly LowPassKernel _crossover;
    private readonly LowPassKernel _feed;
    private readonly ModalField _modes;
    private readonly double[] _images;
    private readonly int _sampleRateHz;

    public RoomPath(AcousticRoom acoustics, Position source, Position seat, Position? aim, double beamHz, int sampleRateHz)
    {
        var (room, decay) = (acoustics.Room, acoustics.Decay);
        _sampleRateHz = sampleRateHz;
        ArrivalSeconds = source.DistanceMetresTo(seat) / room.SpeedOfSoundMetresPerSecond;
        _crossover = new LowPassKernel(acoustics.CrossoverHz, sampleRateHz);
        _modes = new ModalField(room, decay, acoustics.LeakHz, source, seat, TaperRatio * acoustics.CrossoverHz, sampleRateHz);
        _feed = new LowPassKernel(acoustics.CrossoverHz * Math.Pow(1 - Math.Pow(TaperRatio, -4), -0.25), sampleRateHz);   // feed · taper = crossover

        var bands = Bands(decay, acoustics.CrossoverHz, sampleRateHz);
        var lengthSeconds = ArrivalSeconds + LengthPerT60Ratio * bands.Max(band => band.T60Seconds);
        var (allRound, forward) = ImageField.Responses(room, source, seat, aim, lengthSeconds, _crossover.OriginSamples, sampleRateHz);
        _images = new double[allRound.Length];
        var below = _crossover;
        foreach (var band in bands)
        {
            var beam = aim is null ? 0 : 1 / (1 + Square(beamHz / band.CentreHz));
            var decaying = new double[allRound.Length];
            for (var n = 0; n < decaying.Length; n++)
            {
                var seconds = Math.Max(0, (n - OriginSamples) / (double)sampleRateHz - ArrivalSeconds);
                var sound = aim is null ? allRound[n] : (1 - beam) * allRound[n] + beam * forward[n];
                decaying[n] = sound * Math.Exp(-DecayByFrequency.NepersPer60Db * seconds / band.T60Seconds);
            }
            var upper = band.UpperHz is { } edgeHz ? new LowPassKernel(edgeHz, sampleRateHz) : null;
            var (upTo, upToBelow) = (upper?.Apply(decaying) ?? decaying, below.Apply(decaying));
            for (var n = 0; n < _images.Length; n++) _images[n] += upTo[n] - upToBelow[n];
            below = upper ?? below;
        }
        FadeOut(_images);
    }

    public double ArrivalSeconds { get; }

    public int OriginSamples => _crossover.OriginSamples;

    public IReadOnlyList<DampedMode> Modes => _modes.Modes;

    /// <summary>The pressure at the seat while the source plays a signal; what would sound before its first sample is dropped.</summary>
    public double[] Apply(ReadOnlySpan<double> drive)
    {
        var low = _modes.Apply(_feed.Apply(drive));
        var high = DirectConvolution.Centred(drive, _images, OriginSamples);
        for (var n = 0; n < low.Length; n++) low[n] += high[n];
        return low;
    }

    /// <summary>The same path in closed form (modes, crossover) and as the plain sum over the image taps.</summary>
    public Complex ResponseAt(double frequencyHz) =>
        _feed.ResponseAt(frequencyHz) * _modes.ResponseAt(frequencyHz)
        + DirectConvolution.ResponseAt(_images, OriginSamples, _sampleRateHz, frequencyHz);

    private readonly record struct Band(double CentreHz, double? UpperHz, double T60Seconds);

    private static List<Band> Bands(DecayByFrequency decay, double crossoverHz, int sampleRateHz)
    {
        var points = decay.Points;
        var bands = new List<Band>();
        for (var k = 0; k < points.Count; k++)
        {
            double? upperHz = k + 1 < points.Count ? Math.Sqrt(points[k].FrequencyHz * points[k + 1].FrequencyHz) : null;
            if (upperHz * 3 > sampleRateHz) upperHz = null;
            if (upperHz is null || upperHz > crossoverHz) bands.Add(new(points[k].FrequencyHz, upperHz, points[k].T60Seconds));
            if (upperHz is null) break;
        }
        return bands;
    }

    private static void FadeOut(double[] response)
    {
        var fade = (int)(FadeRatio * response.Length);
        for (var n = 0; n < fade; n++) response[^(n + 1)] *= 0.5 - 0.5 * Math.Cos(Math.PI * n / fade);
    }

    private static double Square(double value) => value * value;
}
