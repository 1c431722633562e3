// SPDX-License-Identifier: MIT
namespace Sweepbook.Simulation;

/// <summary>One planned decay time: 60 dB in so many seconds at this frequency.</summary>
internal readonly record struct DecayPoint(double FrequencyHz, double T60Seconds);

/// <summary>The decay time of the planned room over frequency: straight lines in time over log frequency, held flat outside.</summary>
internal sealed class DecayByFrequency(IReadOnlyList<DecayPoint> points)
{
    /// <summary>ln(10³): amplitude falls by 60 dB in T60 when it falls as e^(−6.9078 t / T60).</summary>
    public static readonly double NepersPer60Db = Math.Log(1000);

    public IReadOnlyList<DecayPoint> Points { get; } = [.. points];

    public double T60SecondsAt(double frequencyHz)
    {
        if (frequencyHz <= Points[0].FrequencyHz) return Points[0].T60Seconds;
        for (var k = 1; k < Points.Count; k++)
        {
            var (below, above) = (Points[k - 1], Points[k]);
            if (frequencyHz > above.FrequencyHz) continue;
            var part = Math.Log(frequencyHz / below.FrequencyHz) / Math.Log(above.FrequencyHz / below.FrequencyHz);
            return below.T60Seconds + part * (above.T60Seconds - below.T60Seconds);
        }
        return Points[^1].T60Seconds;
    }

    /// <summary>Amplitude decay rate in 1/s.</summary>
    public double RateAt(double frequencyHz) => NepersPer60Db / T60SecondsAt(frequencyHz);
}
