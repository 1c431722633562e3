// SPDX-License-Identifier: MIT
using Sweepbook.Microphones;
using Sweepbook.Quantities;
using Sweepbook.Surveys;

namespace Sweepbook.Studies;

public sealed partial class MicrophoneResult
{
    private const double SquareMetresPerSquareCm = 1e-4;

    /// <summary>The loudest sound at the microphone over all takes that were used, close to a cone or not, against the loudest that its data sheet allows.</summary>
    /// <remarks>Needs <c>max_spl_db</c> and a sensitivity for the takes' input gain; the value says so where one is missing. For what misleads see <see cref="MicrophoneHeadroom"/>.</remarks>
    public MicrophoneHeadroom Headroom
    {
        get
        {
            var loudest = Study.Takes.Where(result => result.IsUsed && result.Take.Microphone == Id)
                .Select(result => (Result: result, PeakDb: SoundPressureLevelDb(result.Take, result.PeakDbfs)))
                .Where(take => double.IsFinite(take.PeakDb)).OrderByDescending(take => take.PeakDb).FirstOrDefault();
            return loudest.Result is { } result
                ? MicrophoneHeadroom.Measured(Id, MaximumDb, loudest.PeakDb, result.Take.File, result.ClippedSamples > 0)
                : MicrophoneHeadroom.Measured(Id, MaximumDb, double.NaN, "", false);
        }
    }

    /// <summary>What it would have to bear close to a cone that makes a level at 1 m, before anybody plays it: <c>microphone.HeadroomCloseTo("cone", levelDb: 95)</c>.</summary>
    /// <param name="source">Id of the cone or port in the survey, which states its area.</param>
    /// <param name="levelDb">Level that the source makes at 1 m in half space, in dB re 20 µPa, in [0, 200]; equal cones of one source share it.</param>
    /// <param name="distanceMetres">Distance from the middle of the cone, in metres, zero or more.</param>
    /// <returns>The expected headroom, with a caution for ears and cone; the peak of a sine or sweep counts as its level.</returns>
    /// <exception cref="ArgumentException">The survey has no such source, or states no area of it.</exception>
    /// <exception cref="ArgumentOutOfRangeException">A number is outside its interval.</exception>
    /// <remarks>Misleads above the bass, and for music and noise, whose peaks lie 10 to 20 dB above their level (common practice, no source). Source: <see cref="Piston.CloseLevelDb"/>.</remarks>
    public MicrophoneHeadroom HeadroomCloseTo(string source, double levelDb, double distanceMetres = 0)
    {
        const double HighestDb = 200;
        var cone = Study.Survey.Source(source);
        if (cone.AreaCm2 is not { } areaCm2)
            throw new ArgumentException($"The area of \"{source}\" is not known, so the level close to it cannot be told: add area_cm2 or effective_diameter_mm to its [[source]] in survey.toml.", nameof(source));
        if (!(levelDb >= 0 && levelDb <= HighestDb)) throw new ArgumentOutOfRangeException(nameof(levelDb), levelDb, FormattableString.Invariant($"Must be in [0, {HighestDb}] dB."));
        var each = levelDb - Decibels.FromAmplitude(cone.Count);
        return MicrophoneHeadroom.Expected(Id, MaximumDb, source, levelDb, Piston.CloseLevelDb(each, areaCm2 * SquareMetresPerSquareCm, distanceMetres), distanceMetres);
    }

    private double MaximumDb => Stated.MaxSplDb ?? double.NaN;

    private double SoundPressureLevelDb(Take take, double levelDbfs) =>
        Levels.FirstOrDefault(level => level.IsKnown && level.InputGainDb == take.InputGainDb)?.SoundPressureLevelDb(levelDbfs) ?? double.NaN;
}
