// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Spectra;

namespace Sweepbook.Studies;

/// <summary>Judges a response anew through another window: every step of the analysis that depends on the window is done again.</summary>
/// <remarks>
/// Values, noise (Σw² for hiss, the window's spectrum for lines of hum) and masks are those of the new window; distortion, dependence on level and the noise of the loopback do not depend on it and stay.
/// Noise is judged against the level averaged over the seats as before; that average is moved by as much as this seat's own level moved, because nobody asked for the other seats.
/// </remarks>
internal sealed record WindowedViews(ResponseAnalysis.Gathered Gathered, double[]? SeatMean, StudyContext Context)
{
    /// <summary>The response through one window.</summary>
    internal ResponseResult Through(ImpulseWindow window)
    {
        var again = Chosen(ResponseAnalysis.Gather([.. Gathered.Repeats.Select(repeat => Through(repeat, window))]));
        return ResponseAnalysis.Of(again, SeatMeanFor(again.Spectrum), Context).With(this);
    }

    /// <summary>The response through a window of another length at each frequency.</summary>
    internal Response Through(WindowLengths lengths)
    {
        var spectrum = VariableWindow.Of(Gathered.Uncut, ArrivalSeconds(Gathered.Repeats[0]), lengths, Gathered.Grid);
        var again = Chosen(Gathered with { Repeats = [.. Gathered.Repeats.Select(repeat => Through(repeat, lengths))], Spectrum = spectrum });
        return ResponseAnalysis.Response(again, SeatMeanFor(spectrum), Context);
    }

    /// <summary>Each repeat on its own through the window of the analysis.</summary>
    internal IReadOnlyList<Response> Singles() => [.. Gathered.Repeats.Select(repeat => ResponseAnalysis.Of(
        ResponseAnalysis.Gather([repeat]) with { LevelDependent = Gathered.LevelDependent, IsWindowChosen = Gathered.IsWindowChosen }, SeatMean, Context).Response)];

    private ResponseAnalysis.Gathered Chosen(ResponseAnalysis.Gathered again) => again with { LevelDependent = Gathered.LevelDependent, IsWindowChosen = true };

    private double[]? SeatMeanFor(GridSpectrum again) => SeatMean is null ? null : [.. SeatMean.Select((power, k) =>
        Gathered.Spectrum.ThirdOctavePower[k] is > 0 and var before ? power * again.ThirdOctavePower[k] / before : power)];

    private static TakeAnalysis Through(TakeAnalysis repeat, ImpulseWindow window)
    {
        var (uncut, arrivalSeconds, grid) = (repeat.Uncut!, ArrivalSeconds(repeat), repeat.Grid!);
        var noise = repeat.Noise?.Through(_ => window, repeat.Window, uncut.SampleRateHz, grid);
        return repeat with
        {
            Windowed = window.Cut(uncut, arrivalSeconds),
            Window = window,
            Noise = noise,
            NoisePower = noise?.Total ?? [],
            LostPower = TruncationLoss.PowerOf(uncut, window, arrivalSeconds, noise, repeat.NoiseMarginRatio, grid),
            Limits = repeat.Limits with { Window = Recorded(repeat, window) },
        };
    }

    private static TakeAnalysis Through(TakeAnalysis repeat, WindowLengths lengths)
    {
        ImpulseWindow At(double frequencyHz) => VariableWindow.At(lengths, frequencyHz);
        var noise = repeat.Noise?.Through(At, repeat.Window, repeat.Uncut!.SampleRateHz, repeat.Grid!);
        return repeat with
        {
            Noise = noise,
            NoisePower = noise?.Total ?? [],
            LostPower = new double[repeat.Grid!.Count],
            Limits = repeat.Limits with { WindowAt = frequencyHz => Recorded(repeat, At(frequencyHz)) },
        };
    }

    /// <summary>As much of a window as was recorded: what lies outside resolves nothing. A recorded impulse has no ringing to keep before it.</summary>
    private static ImpulseWindow Recorded(TakeAnalysis repeat, ImpulseWindow window)
    {
        var uncut = repeat.Uncut!;
        return window with
        {
            LeftSeconds = double.IsPositiveInfinity(repeat.Limits.Window.LeftSeconds) ? double.PositiveInfinity : Math.Min(window.LeftSeconds, repeat.Window.LeftSeconds),
            RightSeconds = Math.Min(window.RightSeconds, uncut.SecondsAt(uncut.Length) - ArrivalSeconds(repeat)),
        };
    }

    /// <summary>Where the analysis laid its own window.</summary>
    private static double ArrivalSeconds(TakeAnalysis repeat)
    {
        repeat.Window.Samples(repeat.Uncut!.SampleRateHz, out var left);
        return repeat.Windowed!.SecondsAt(left);
    }
}
