// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Spectra;

namespace Sweepbook.Studies;

public sealed partial class ResponseResult
{
    /// <summary>What it takes to judge it again.</summary>
    internal WindowedViews? Views { private get; init; }

    /// <summary>The same response through another window, with values, noise, masks and uncertainty of that window: <c>seat.Windowed(leftMs: 50, rightMs: 300)</c>.</summary>
    /// <param name="leftMs">Length before the arrival in milliseconds, in (0, ∞).</param>
    /// <param name="rightMs">Length T after the arrival in milliseconds, in (0, ∞).</param>
    /// <returns>A new result; what no window touches is shared with this one.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A length is outside its interval.</exception>
    /// <remarks>As <see cref="Windowed(ImpulseWindow)"/>, also for the source.</remarks>
    public ResponseResult Windowed(double leftMs, double rightMs) => Windowed(ImpulseWindow.OfMilliseconds(leftMs, rightMs));

    /// <summary>The same response through another window, with values, noise, masks and uncertainty of that window.</summary>
    /// <param name="window">The window, laid where the analysis laid its own; what lies outside the record counts as zero.</param>
    /// <returns>A new result; what no window touches is shared with this one.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A length of the window is outside its interval.</exception>
    /// <remarks>
    /// Level and phase are trusted from 2/T on, T no longer than what was recorded, and from two periods within the left part; all other doubts stay. Where a room's sound outlasts the window this
    /// is the response of its early part and no longer that of the room: a remark says so, not a doubt. In the free field, a window that reaches the first reflection is doubted everywhere.
    /// Misleads when two windows are compared below 2/T of the shorter one. Source: own definition (design, "What may be believed": window).
    /// </remarks>
    public ResponseResult Windowed(ImpulseWindow window) => Known.Through(window);

    /// <summary>The response through a window whose length changes with frequency: <c>seat.Through(WindowLengths.Periods(10))</c>.</summary>
    /// <param name="lengths">How long the window is at each frequency.</param>
    /// <returns>A response on the same grid, each value summed for its own window, masks and noise judged for it; its levels carry no uncertainty.</returns>
    /// <remarks>
    /// Trusted where the length holds two periods and was recorded, and where nothing else is in doubt. Early sound at high and all sound at low frequencies stand side by side in such a curve: it is near to what
    /// is heard of a loudspeaker in a room, and no property of either. Source: <see cref="WindowLengths"/>.
    /// </remarks>
    public Response Through(WindowLengths lengths)
    {
        ArgumentNullException.ThrowIfNull(lengths);
        return Known.Through(lengths);
    }

    /// <summary>Phase and group delay within the band in which the phase may be believed, with what of them is minimum phase and what is excess.</summary>
    /// <returns>The parts; null where less than an octave is trusted.</returns>
    /// <exception cref="ArgumentException">The time zero of the take is not known.</exception>
    /// <remarks>
    /// The minimum phase uses the level wherever that is trusted, also beyond the band of the phase. The microphone's own deviation is not taken off: it adds its minimum phase, a degree or
    /// so. See <see cref="ImpulseResponse.PhaseParts"/>, also for the source.
    /// </remarks>
    public PhaseParts? PhaseParts()
    {
        ImpulseResponse.RequireTimeZero(ImpulseResponse);
        if (PhaseBand.IsEmpty || PhaseBand.ToHz < 2 * PhaseBand.FromHz) return null;
        var (fromHz, toHz) = (Math.Min(LevelBand.FromHz, PhaseBand.FromHz), Math.Max(LevelBand.ToHz, PhaseBand.ToHz));
        return PhaseAnalysis.Of(ImpulseResponse, Quantities.LogGrid.Between(Response.Grid.PointsPerOctave, PhaseBand.FromHz, PhaseBand.ToHz), fromHz, toHz);
    }

    /// <summary>The same result that goes back to another one's own window when it is asked for a third.</summary>
    internal ResponseResult With(WindowedViews views) => new(Takes, UncutImpulseResponse, ImpulseResponse, Response, Window)
    { Views = views, Placed = Placed, HarmonicReadings = HarmonicReadings, CorrectionDbAt = CorrectionDbAt };

    /// <summary>The response of each repeat on its own, judged as the response of all of them is, but for what only several can show.</summary>
    internal IReadOnlyList<Response> Singles() => LazyInitializer.EnsureInitialized(ref _singles, () => Views is { } views ? views.Singles() : [Response]);

    private IReadOnlyList<Response>? _singles;   // once: every comparison asks for them

    private WindowedViews Known => Views ?? throw new InvalidOperationException("This result was put together by hand and holds no take to judge again; use one of a study.");
}
