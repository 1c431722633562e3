// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Transforms;

namespace Sweepbook.Impulses;

/// <summary>The phase between two responses, frequency by frequency, with the variance that noise gives it; fitted by a delay and a polarity.</summary>
/// <remarks>
/// With unit phasors u and weights w, the likelihood of a delay t grows with ± Σ w · Re(u · e^{jωt}) / Σ w, plus for equal and minus for opposite polarity. It is looked at
/// on a grid of an eighth of the shortest period, by a transform, and refined at its largest and smallest value, so that no phase is unwrapped. Derivation of the weights: the phase of a
/// value with signal-to-noise ratio s has the variance 1 / (2 s).
/// </remarks>
internal sealed class CrossPhase
{
    private const double LongestDelaySeconds = 0.2;     // 69 m, or the longest delay of a processor
    private const double FirstScatter = 0.1;            // rad²: before the scatter is known, no frequency counts as better than 18°
    private const double LeastMisfit = 1e-6;            // 0.08°: better is rounding
    private const int Rounds = 3;                       // the scatter settles in two
    private const int StepsPerPeriod = 8;               // of the highest frequency
    private readonly double[] _omega, _variance;
    private readonly Complex[] _unit;
    private readonly double _binWidthHz, _independentPerBin;
    private readonly int _firstBin;

    private CrossPhase(double binWidthHz, int firstBin, double[] omega, Complex[] unit, double[] variance, double independentPerBin) =>
        (_binWidthHz, _firstBin, _omega, _unit, _variance, _independentPerBin) = (binWidthHz, firstBin, omega, unit, variance, independentPerBin);

    /// <summary>The phases between two responses in a band; null where one of them is silent in it.</summary>
    internal static CrossPhase? Of(ImpulseResponse response, ImpulseResponse reference, double fromHz, double toHz, Func<double, double> phaseVariance, double windowSeconds)
    {
        var length = StimulusSpectrum.EvenLength(Math.Max(response.Length, reference.Length));
        var binWidthHz = (double)response.SampleRateHz / length;
        var (one, other) = (FourierTransform.OfReal(response.Samples, length), FourierTransform.OfReal(reference.Samples, length));
        var zeroSeconds = (response.TimeZeroSamples - reference.TimeZeroSamples) / response.SampleRateHz;
        var (first, last) = ((int)Math.Ceiling(fromHz / binWidthHz), (int)(toHz / binWidthHz));
        var count = Math.Max(0, last - first + 1);
        var (omega, unit, variance) = (new double[count], new Complex[count], new double[count]);
        var isHeard = false;
        for (var n = 0; n < count; n++)
        {
            omega[n] = 2 * Math.PI * (first + n) * binWidthHz;
            var cross = one[first + n] * Complex.Conjugate(other[first + n]) * Complex.FromPolarCoordinates(1, omega[n] * zeroSeconds);
            variance[n] = cross == Complex.Zero ? double.PositiveInfinity : phaseVariance((first + n) * binWidthHz);
            unit[n] = cross == Complex.Zero ? Complex.Zero : cross / cross.Magnitude;
            isHeard |= double.IsFinite(variance[n]);
        }
        return isHeard ? new(binWidthHz, first, omega, unit, variance, Math.Min(1, binWidthHz * windowSeconds)) : null;
    }

    /// <summary>Variance of the phase between two responses by their noise, for a frequency in hertz; infinite where either phase is not trusted.</summary>
    internal static Func<double, double> VarianceOf(Response response, Response reference)
    {
        return frequencyHz => Half(response, frequencyHz) + Half(reference, frequencyHz);

        static double Half(Response of, double frequencyHz)
        {
            var k = Math.Clamp((int)Math.Round(of.Grid.PointsPerOctave * Math.Log2(frequencyHz / of.Grid[0])), 0, of.Count - 1);
            var point = of[k];
            return point.TrustedPhase ? 0.5 * point.NoisePowerRatio / (point.Value.Magnitude * point.Value.Magnitude) : double.PositiveInfinity;
        }
    }

    internal RelativeDelay Fit(double fromHz, double toHz)
    {
        var scatter = FirstScatter;
        for (var round = 1; ; round++)
        {
            var weights = Weights(scatter);
            var (seconds, polarity, confidenceDb) = Best(weights);
            if (round == Rounds)
                return new(seconds, Uncertainty(weights, seconds, polarity), polarity, confidenceDb, fromHz, toHz, FitDegrees(seconds, polarity));
            scatter = Scatter(seconds, polarity);
        }
    }

    private double[] Weights(double scatter)
    {
        const double LeastVariance = 1e-12;   // responses computed without any noise still divide
        return [.. _variance.Select(variance => _independentPerBin / Math.Max(variance + scatter, LeastVariance))];
    }

    private (double Seconds, int Polarity, double ConfidenceDb) Best(double[] weights)
    {
        var total = weights.Sum();
        var (same, opposite) = Coarse(weights);
        (same, opposite) = (Refined(weights, same, 1), Refined(weights, opposite, -1));
        var misfitSame = Math.Max(LeastMisfit, 1 - Agreement(weights, same) / total);
        var misfitOpposite = Math.Max(LeastMisfit, 1 + Agreement(weights, opposite) / total);
        var confidenceDb = Math.Abs(Decibels.FromPower(misfitOpposite / misfitSame));
        return misfitSame <= misfitOpposite ? (same, 1, confidenceDb) : (opposite, -1, confidenceDb);
    }

    /// <summary>Where the agreement is largest, and where it is smallest, on a grid of an eighth of the shortest period.</summary>
    private (double Largest, double Smallest) Coarse(double[] weights)
    {
        var length = StimulusSpectrum.EvenLength(StepsPerPeriod * (_firstBin + weights.Length));
        var bins = new Complex[length / 2 + 1];
        for (var n = 0; n < weights.Length; n++) bins[_firstBin + n] = weights[n] * _unit[n];
        var agreement = FourierTransform.ToReal(bins, length);
        var step = 1 / (length * _binWidthHz);
        var reach = Math.Min(length / 2 - 1, (int)(LongestDelaySeconds / step));
        var (largest, smallest) = (0, 0);
        for (var n = -reach; n <= reach; n++)
        {
            if (At(n) > At(largest)) largest = n;
            if (At(n) < At(smallest)) smallest = n;
        }
        return (largest * step, smallest * step);

        double At(int n) => agreement[n < 0 ? n + length : n];
    }

    /// <summary>Weighted least-squares steps on the remaining phases, which are below a sixteenth of a turn on the coarse grid where the fit is any good.</summary>
    private double Refined(double[] weights, double seconds, int sign)
    {
        const int Steps = 5;
        var reach = 1.0 / (StepsPerPeriod * (_firstBin + weights.Length) * _binWidthHz);
        var start = seconds;
        for (var step = 0; step < Steps; step++)
        {
            var (slope, curvature) = (0.0, 0.0);
            for (var n = 0; n < weights.Length; n++)
            {
                var turned = sign * _unit[n] * Complex.FromPolarCoordinates(1, _omega[n] * seconds);
                slope += weights[n] * _omega[n] * turned.Imaginary;
                curvature += weights[n] * _omega[n] * _omega[n] * turned.Real;
            }
            if (!(curvature > 0)) break;
            seconds = Math.Clamp(seconds - slope / curvature, start - reach, start + reach);
        }
        return seconds;
    }

    private double Agreement(double[] weights, double seconds)
    {
        var sum = 0.0;
        for (var n = 0; n < weights.Length; n++)
            sum += weights[n] * (_unit[n].Real * Math.Cos(_omega[n] * seconds) - _unit[n].Imaginary * Math.Sin(_omega[n] * seconds));
        return sum;
    }

    /// <summary>What the phases scatter beyond their noise, in rad².</summary>
    private double Scatter(double seconds, int polarity)
    {
        var (sum, count) = (0.0, 0);
        for (var n = 0; n < _omega.Length; n++)
        {
            if (!double.IsFinite(_variance[n])) continue;
            var rest = Rest(n, seconds, polarity);
            (sum, count) = (sum + rest * rest - _variance[n], count + 1);
        }
        return Math.Max(0, sum / count);
    }

    /// <summary>The larger of two standard deviations: that of the weights, and that of what the thirds of an octave say each for itself.</summary>
    private double Uncertainty(double[] weights, double seconds, int polarity)
    {
        var (information, block, squares, edge) = (0.0, 0.0, 0.0, 0.0);
        for (var n = 0; n < weights.Length; n++)
        {
            if (_omega[n] > edge)
            {
                (squares, block) = (squares + block * block, 0);
                edge = _omega[n] * Math.Pow(2, 1 / 3.0);
            }
            information += weights[n] * _omega[n] * _omega[n];
            if (weights[n] > 0) block += weights[n] * _omega[n] * Rest(n, seconds, polarity);
        }
        squares += block * block;
        return Math.Max(1 / Math.Sqrt(information), Math.Sqrt(squares) / information);
    }

    private double FitDegrees(double seconds, int polarity)
    {
        var (sum, total) = (0.0, 0.0);
        for (var n = 0; n < _omega.Length; n++)
        {
            if (!double.IsFinite(_variance[n])) continue;
            var rest = Rest(n, seconds, polarity);
            (sum, total) = (sum + rest * rest / _omega[n], total + 1 / _omega[n]);
        }
        return 180 / Math.PI * Math.Sqrt(sum / total);
    }

    private double Rest(int n, double seconds, int polarity) => (polarity * _unit[n] * Complex.FromPolarCoordinates(1, _omega[n] * seconds)).Phase;
}
