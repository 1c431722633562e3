// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Studies;
using Sweepbook.Trust;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>Figures of one impulse response over time.</summary>
internal static class ViewFigures
{
    private const int MostPoints = 3000;
    private const double StepPeriods = 20, EnergyPeriods = 60;
    private const double LowestDb = -60;
    private const string Quiet = "#7f7f7f";

    public static Figure Step(ResponseResult result, string colour)
    {
        var axis = TimeAxis.Of(result, StepPeriods);
        var (ms, values) = axis.Seen(result.ImpulseResponse.StepResponse(), isPeak: false);
        var largest = values.DefaultIfEmpty(0).Max(Math.Abs);
        if (largest == 0) largest = 1;
        var at = values.Length == 0 ? 0 : ms[Array.FindIndex(values, value => Math.Abs(value) == values.Max(Math.Abs))];
        var low = result.LevelBand.IsEmpty ? "" : $" Nothing below {WithUnit(result.LevelBand.FromHz)} is known, so the step falls back to zero; that return is not the loudspeaker's.";
        return TimeChart.Draw($"{Key(result)} {At(result)}: step response", [new("step response", colour, ms, [.. values.Select(value => value / largest)])], (axis.FromMs, axis.ToMs), axis.Title,
            (-1.1, 1.1), "Relative to its largest (no unit)", "%{x:.2f} ms, %{y:.3f}", FormattableString.Invariant($"Step response of {Key(result)} {At(result)}. It is largest {at:0.0} ms {axis.Origin}."),
            $"What would come out if a steady signal were switched on.{low}");
    }

    public static Figure Energy(ResponseResult result, string colour)
    {
        var axis = TimeAxis.Of(result, EnergyPeriods);
        var (ms, values) = axis.Seen(EnergyOf(result), isPeak: true);
        var later = result.LevelBand.IsEmpty ? double.NaN : 1000 / (result.LevelBand.ToHz - result.LevelBand.FromHz);
        var blurred = double.IsNaN(later) ? "" : FormattableString.Invariant($" Peaks closer than {later:0.##} ms, one over the trusted bandwidth, run into one another, and each begins before its sound does.");
        return TimeChart.Draw($"{Key(result)} {At(result)}: energy over time", [new("energy-time curve", colour, ms, [.. values.Select(value => Math.Max(value, 2 * LowestDb))]) { Width = 1.4 }],
            (axis.FromMs, axis.ToMs), axis.Title, (LowestDb, 3), "Level (dB relative to the peak)", "%{x:.2f} ms, %{y:.1f} dB",
            FormattableString.Invariant($"Energy-time curve of {Key(result)} {At(result)}: the largest lies {axis.PeakMs:0.0} ms {axis.Origin}; 20 ms later and beyond {Later(After(ms, values, axis.PeakMs + 20))}."),
            $"Squared envelope of the impulse response{(result.LevelBand.IsEmpty ? "" : $", of the frequencies whose level may be believed ({result.LevelBand.Words})")}; mostly of the highest.{blurred}", 10);
    }

    /// <summary>Of the band whose level is trusted, where that is an octave: outside it there may be more noise than sound.</summary>
    private static TimeCurve EnergyOf(ResponseResult result)
    {
        var (band, impulse) = (result.LevelBand, result.ImpulseResponse);
        return band.IsEmpty || band.ToHz < 2 * band.FromHz ? impulse.EnergyTimeCurve() : impulse.EnergyTimeCurve(band.FromHz, Math.Min(band.ToHz, impulse.SampleRateHz / 2.0));
    }

    public static Figure Window(ResponseResult result, ImpulseWindow window, string colour)
    {
        var (uncut, chosen) = (result.UncutImpulseResponse, result.Windowed(window));
        var cut = chosen.ImpulseResponse;
        var arrival = cut.SecondsAt((int)Math.Round(window.LeftSeconds * cut.SampleRateHz));
        var axis = TimeAxis.Of(result, StepPeriods) with { FromMs = 0, ToMs = 0 };
        axis = axis with { FromMs = axis.Ms(arrival - 1.25 * window.LeftSeconds), ToMs = axis.Ms(arrival + 1.25 * window.RightSeconds) };
        var (ms, whole) = axis.Seen(uncut);
        var (keptMs, kept) = axis.Seen(cut);
        var largest = uncut.Length == 0 ? 1 : uncut.ToArray().Max(Math.Abs);
        var (shapeMs, shape) = axis.Seen(window.Cut(Ones(cut, arrival), arrival));
        var lost = 1 - Energy(cut) / Energy(uncut);
        var band = chosen.LevelBand;
        var said = FormattableString.Invariant($"The window keeps {window.LeftSeconds * 1000:0.##} ms before the arrival and {window.RightSeconds * 1000:0.##} ms after it, and cuts {Share(lost)} of the energy.")
            + (band.IsEmpty ? $" Nothing may then be believed: {band.LowReason.Sentence}." : $" Level may then be believed {(band.FromHz == band.ToHz ? "at" : "from")} {band.Words}; below: {band.LowReason.Sentence}.");
        return TimeChart.Draw($"{Key(result)} {At(result)}: what a window keeps",
            [
                new("impulse response", Quiet, ms, Scaled(whole, largest)) { Width = 1.2, Opacity = 0.6 }, new("kept", colour, keptMs, Scaled(kept, largest)) { Width = 1.8 },
                new("window", Palette.Colour(4), shapeMs, shape) { Width = 1.6, Dash = "dash" },
            ], (axis.FromMs, axis.ToMs), axis.Title, (-1.1, 1.1), "Relative to its largest (no unit)", "%{x:.2f} ms, %{y:.3f}", $"{Key(result)} {At(result)}. {said}", said);
    }

    public static string Key(ResponseResult result) => result.Setting == Surveys.Setting.AsFoundId ? result.Source : $"{result.Source}, {result.Setting}";

    /// <summary>"at sofa-left", or in words where there was no seat.</summary>
    public static string At(ResponseResult result) => result.Seat.Length > 0 ? $"at {result.Seat}" : result.Takes[0].Field == SoundField.Near ? "close up" : "in the free field";

    private static string Later(double levelDb) => double.IsNegativeInfinity(levelDb) ? "nothing is shown" : FormattableString.Invariant($"nothing shown exceeds {(levelDb < -0.5 ? "−" : "")}{Math.Abs(levelDb):0} dB");

    private static ImpulseResponse Ones(ImpulseResponse like, double arrival) =>
        new([.. Enumerable.Repeat(1.0, like.Length)], like.SampleRateHz, like.TimeZeroSamples, like.TimeZero, like.TimeGroup, "window");

    private static double[] Scaled(double[] values, double largest) => [.. values.Select(value => value / (largest > 0 ? largest : 1))];

    private static double Energy(ImpulseResponse response) => response.ToArray().Sum(sample => sample * sample) is > 0 and var energy ? energy : 1;

    private static string Share(double ratio) => ratio < 0.001 ? "less than 0.1 %" : FormattableString.Invariant($"{100 * ratio:0.#} %");

    private static double After(double[] ms, double[] values, double fromMs) => values.Where((_, k) => ms[k] >= fromMs).DefaultIfEmpty(double.NegativeInfinity).Max();

    /// <summary>The stretch of time that a figure shows, and what its axis counts from.</summary>
    private sealed record TimeAxis(double OriginSeconds, double PeakSeconds, bool IsTimed, double FromMs, double ToMs)
    {
        public string Title => IsTimed ? "Time after the stimulus left (ms)" : "Time after the arrival (ms)";

        public string Origin => IsTimed ? "after the stimulus left" : "after the arrival";

        public double PeakMs => Ms(PeakSeconds);

        public static TimeAxis Of(ResponseResult result, double periods)
        {
            var impulse = result.ImpulseResponse;
            var (at, largest) = (0, -1.0);
            for (var n = 0; n < impulse.Length; n++)
                if (Math.Abs(impulse[n]) > largest) (at, largest) = (n, Math.Abs(impulse[n]));
            var isTimed = impulse.TimeZero != TimeZero.Unknown;
            var peak = impulse.SecondsAt(at);
            var middleHz = result.LevelBand.IsEmpty ? 500 : Math.Sqrt(result.LevelBand.FromHz * result.LevelBand.ToHz);
            var seconds = Math.Min(periods / middleHz, result.Window.RightSeconds);
            var axis = new TimeAxis(isTimed ? 0 : peak, peak, isTimed, 0, 0);
            return axis with { FromMs = axis.Ms(peak - Math.Min(0.2 * seconds, result.Window.LeftSeconds)), ToMs = axis.Ms(peak + seconds) };
        }

        public double Ms(double seconds) => (seconds - OriginSeconds) * 1000;

        public (double[] Ms, double[] Values) Seen(TimeCurve curve, bool isPeak) => Seen(curve.Count, curve.SecondsAt, n => curve[n], isPeak);

        public (double[] Ms, double[] Values) Seen(ImpulseResponse response) => Seen(response.Length, response.SecondsAt, n => response[n], isPeak: false);

        /// <summary>What lies on the axis; of a long stretch every few samples, or the largest of each few.</summary>
        private (double[] Ms, double[] Values) Seen(int count, Func<int, double> secondsAt, Func<int, double> at, bool isPeak)
        {
            var inside = Enumerable.Range(0, count).Where(n => Ms(secondsAt(n)) >= FromMs && Ms(secondsAt(n)) <= ToMs).ToArray();
            if (inside.Length == 0) return ([], []);
            var kept = inside.Chunk(1 + inside.Length / MostPoints).Select(some => isPeak ? some.MaxBy(at) : some[0]).ToArray();
            return ([.. kept.Select(n => Ms(secondsAt(n)))], [.. kept.Select(at)]);
        }
    }
}
