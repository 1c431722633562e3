// SPDX-License-Identifier: MIT
using System.Numerics;

namespace Sweepbook.Decay;

/// <summary>The window of a slice: its weights, where in them the slice's moment lies, and how long it takes to rise.</summary>
internal sealed class MapWindow
{
    private const double FallingPart = 0.25;   // as in every time window here: the last quarter falls
    private const double Slack = 1e-9;         // of a sample: a length that should be a whole number of them is one

    private MapWindow(double lengthSeconds, double beforeSeconds, double riseSeconds, double rateHz, Func<double, double> weightAt)
    {
        (LengthSeconds, RiseSeconds, RateHz, Moment) = (lengthSeconds, riseSeconds, rateHz, (int)Math.Floor(beforeSeconds * rateHz + Slack));
        // a function of time, sampled, so that it is the same at every rate
        Weights = new double[Moment + (int)Math.Ceiling((lengthSeconds - beforeSeconds) * rateHz - Slack)];   // at the end itself it is 0
        var sum = 0.0;
        for (var n = 0; n < Weights.Length; n++)
        {
            var weight = Weights[n] = weightAt((n - Moment) / rateHz);
            (sum, EnergySamples) = (sum + weight, EnergySamples + weight * weight);
        }
        NoiseBandwidthHz = rateHz * EnergySamples / (sum * sum);
    }

    public double[] Weights { get; }

    /// <summary>Index of the weight that falls on the slice's moment.</summary>
    public int Moment { get; }

    public double RateHz { get; }

    public double LengthSeconds { get; }

    /// <summary>From nothing to full weight: how long a sound that has ended goes on fading.</summary>
    public double RiseSeconds { get; }

    public double EnergySamples { get; }

    public double NoiseBandwidthHz { get; }

    /// <summary>Rising before the moment, full from it on, falling over the last quarter of the whole.</summary>
    public static MapWindow OneSided(double windowSeconds, double riseSeconds, double rateHz)
    {
        var (end, fall) = (windowSeconds - riseSeconds, FallingPart * windowSeconds);
        return new(windowSeconds, riseSeconds, riseSeconds, rateHz,
            seconds => seconds < 0 ? SquaredSine((seconds + riseSeconds) / riseSeconds) : end - seconds < fall ? SquaredSine(Math.Max(0, end - seconds) / fall) : 1);
    }

    /// <summary>A Hann window with the moment in its middle.</summary>
    public static MapWindow Centred(double windowSeconds, double rateHz) =>
        new(windowSeconds, windowSeconds / 2, windowSeconds / 2, rateHz, seconds => SquaredSine(Math.Max(0, 1 - 2 * Math.Abs(seconds) / windowSeconds)));

    /// <summary>How far a resonance reaches to its sides, power over that at its own frequency, in the slice in which it begins: there it reaches farthest.</summary>
    public double SkirtRatio(double ownHz, double decaySeconds, double otherHz)
    {
        var keep = Math.Exp(-Math.Log(1000) / (decaySeconds * RateHz));
        var reach = Reach(otherHz - ownHz, keep) + Reach(otherHz + ownHz, keep);   // its mirror at the negative frequency adds to it at worst
        var own = Reach(0, keep);
        return reach * reach / (own * own);
    }

    private double Reach(double offsetHz, double keep)
    {
        var turn = Complex.FromPolarCoordinates(keep, -2 * Math.PI * offsetHz / RateHz);
        var (factor, sum) = (Complex.One, Complex.Zero);
        foreach (var weight in Weights.AsSpan(Moment)) (sum, factor) = (sum + weight * factor, factor * turn);
        return sum.Magnitude;
    }

    private static double SquaredSine(double part)
    {
        var sine = double.SinPi(part / 2);
        return sine * sine;
    }
}
