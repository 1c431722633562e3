// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Studies;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

public static partial class Figures
{
    /// <summary>How the sound starts when a direct voltage is switched on: the step response.</summary>
    /// <param name="result">A response of a study.</param>
    /// <returns>One figure, some twenty periods of the middle of the trusted band long.</returns>
    /// <remarks>Without a known time zero the axis begins at the arrival. For what misleads see <see cref="ImpulseResponse.StepResponse"/>.</remarks>
    public static Figure StepResponse(ResponseResult result) => ViewFigures.Step(result, Palette.Colour(0));

    /// <inheritdoc cref="StepResponse(ResponseResult)"/>
    /// <param name="study">The study.</param>
    /// <param name="source">Id of the source.</param>
    /// <param name="seat">Id of the seat.</param>
    /// <exception cref="ArgumentException">The study has no such response.</exception>
    public static Figure StepResponse(Study study, string source, string seat) => ViewFigures.Step(Find(study, source, seat), Palette.Colour(Place(study, seat)));

    /// <summary>When energy arrives: the energy-time curve, in decibels relative to its largest value.</summary>
    /// <param name="result">A response of a study.</param>
    /// <returns>One figure, some sixty periods of the middle of the trusted band long.</returns>
    /// <remarks>Without a known time zero the axis begins at the arrival. For what misleads see <see cref="ImpulseResponse.EnergyTimeCurve()"/>.</remarks>
    public static Figure EnergyTimeCurve(ResponseResult result) => ViewFigures.Energy(result, Palette.Colour(0));

    /// <inheritdoc cref="EnergyTimeCurve(ResponseResult)"/>
    /// <param name="study">The study.</param>
    /// <param name="source">Id of the source.</param>
    /// <param name="seat">Id of the seat.</param>
    /// <exception cref="ArgumentException">The study has no such response.</exception>
    public static Figure EnergyTimeCurve(Study study, string source, string seat) => ViewFigures.Energy(Find(study, source, seat), Palette.Colour(Place(study, seat)));

    /// <summary>How late each frequency is, in milliseconds, and how much of that its level does not explain.</summary>
    /// <param name="result">A response of a study, with a time zero.</param>
    /// <returns>One figure; it says so where less than an octave of the phase is trusted.</returns>
    /// <exception cref="ArgumentException">The time zero of the take is not known.</exception>
    /// <remarks>For what misleads see <see cref="Spectra.PhaseParts"/>.</remarks>
    public static Figure GroupDelay(ResponseResult result) => PhaseFigures.Delay(result, Palette.Colour(0));

    /// <inheritdoc cref="GroupDelay(ResponseResult)"/>
    /// <param name="study">The study.</param>
    /// <param name="source">Id of the source.</param>
    /// <param name="seat">Id of the seat.</param>
    public static Figure GroupDelay(Study study, string source, string seat) => PhaseFigures.Delay(Find(study, source, seat), Palette.Colour(Place(study, seat)));

    /// <summary>Phase over frequency without the delay that is common to most frequencies, and what of it is minimum phase and what is excess.</summary>
    /// <param name="result">A response of a study, with a time zero.</param>
    /// <returns>One figure; it says so where less than an octave of the phase is trusted.</returns>
    /// <exception cref="ArgumentException">The time zero of the take is not known.</exception>
    /// <remarks>For what misleads see <see cref="Spectra.PhaseParts"/>.</remarks>
    public static Figure Phase(ResponseResult result) => PhaseFigures.Phase(result, Palette.Colour(0));

    /// <inheritdoc cref="Phase(ResponseResult)"/>
    /// <param name="study">The study.</param>
    /// <param name="source">Id of the source.</param>
    /// <param name="seat">Id of the seat.</param>
    public static Figure Phase(Study study, string source, string seat) => PhaseFigures.Phase(Find(study, source, seat), Palette.Colour(Place(study, seat)));

    /// <summary>A window laid over the impulse response: what it keeps, what it cuts, and from where on the response may then be believed.</summary>
    /// <param name="result">A response of a study.</param>
    /// <param name="window">The window.</param>
    /// <returns>One figure, a quarter longer than the window on either side.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A length of the window is outside its interval.</exception>
    /// <remarks>The energy that is cut contains the noise of the record. See <see cref="ResponseResult.Windowed(ImpulseWindow)"/>.</remarks>
    public static Figure Windowed(ResponseResult result, ImpulseWindow window) => ViewFigures.Window(result, window, Palette.Colour(0));

    /// <inheritdoc cref="Windowed(ResponseResult, ImpulseWindow)"/>
    /// <param name="study">The study.</param>
    /// <param name="source">Id of the source.</param>
    /// <param name="seat">Id of the seat.</param>
    /// <param name="window">The window.</param>
    /// <exception cref="ArgumentException">The study has no such response.</exception>
    public static Figure Windowed(Study study, string source, string seat, ImpulseWindow window) => ViewFigures.Window(Find(study, source, seat), window, Palette.Colour(Place(study, seat)));
}
