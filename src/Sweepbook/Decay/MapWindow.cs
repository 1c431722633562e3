// SPDX-License-Identifier: MIT
using System.Numerics;

namespace Sweepbook.Decay;

/// <summary>The window of a slice: its weights, where in them the slice's moment lies, and how long it takes to rise.</summary>
internal sealed class MapWindow
{
    private const double FallingPart = 0.25;   // as in every time window here: the last quarter falls
    private const double Slack = 1e-9;         // of a sample: a length that should be a whole number of them is one

    private readonly double _flatSeconds;

    private MapWindow(double lengthSeconds, double riseSeconds, double flatSeconds, double rateHz, Func<double, double> weightAt)
    {
        (LengthSeconds, RiseSeconds, RateHz, Moment) = (lengthSeconds, riseSeconds, rateHz, (int)Math.Floor(riseSeconds * rateHz + Slack));
        _flatSeconds = flatSeconds;
        // a function of time, sampled, so that it is the same at every rate
        Weights = new double[Moment + (int)Math.Ceiling((lengthSeconds - riseSeconds) * rateHz - Slack)];   // at the end itself it is 0
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
        return new(windowSeconds, riseSeconds, end - fall, rateHz,
            seconds => seconds < 0 ? SquaredSine((seconds + riseSeconds) / riseSeconds) : end - seconds < fall ? SquaredSine(Math.Max(0, end - seconds) / fall) : 1);
    }

    /// <summary>A Hann window with the moment in its middle.</summary>
    public static MapWindow Centred(double windowSeconds, double rateHz) =>
        new(windowSeconds, windowSeconds / 2, 0, rateHz, seconds => SquaredSine(Math.Max(0, 1 - 2 * Math.Abs(seconds) / windowSeconds)));

    /// <summary>How far a resonance reaches to a frequency through this window, power over that at its own frequency through the window there, in the slice in which it begins: there it reaches farthest.</summary>
    public double SkirtRatio(double otherHz, double ownHz, double decaySeconds, MapWindow ownWindow)
    {
        var rate = Math.Log(1000) / decaySeconds;
        var reach = Reach(rate, otherHz - ownHz) + Reach(rate, otherHz + ownHz);   // its mirror at the negative frequency adds to it at worst
        var own = ownWindow.Reach(rate, 0);
        return reach * reach / (own * own);
    }

    /// <summary>|∫ w(t) e^(−st) dt| from the moment on, s = rate + j2π · offset: flat at first, then ½ + ½ cos(πt/fall).</summary>
    private double Reach(double ratePerSecond, double offsetHz)
    {
        var s = new Complex(ratePerSecond, 2 * Math.PI * offsetHz);
        var fall = LengthSeconds - RiseSeconds - _flatSeconds;
        var turn = new Complex(0, Math.PI / fall);
        return (Part(s, _flatSeconds) + Complex.Exp(-s * _flatSeconds) * (0.5 * Part(s, fall) + 0.25 * (Part(s - turn, fall) + Part(s + turn, fall)))).Magnitude;
    }

    /// <summary>∫ e^(−st) dt from 0 to an end.</summary>
    private static Complex Part(Complex s, double endSeconds) => s.Magnitude * endSeconds < 1e-8 ? endSeconds : (1 - Complex.Exp(-s * endSeconds)) / s;

    private static double SquaredSine(double part)
    {
        var sine = double.SinPi(part / 2);
        return sine * sine;
    }
}
