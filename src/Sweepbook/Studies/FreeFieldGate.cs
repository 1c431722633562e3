// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Where a take in the free field (field = "free") must be cut so that it holds no reflection.</summary>
/// <remarks>
/// The first reflection is known where the survey states the room, the source's position and the seat's: it is the nearest of the six mirror images.
/// Elsewhere it stays unknown, the window is left alone and a remark says so: in the response itself the edge of a cabinet, a resonance of the
/// driver and a wall look alike, and a gate at the wrong one would change the result without anybody asking. Furniture and the microphone's stand
/// reflect earlier than any wall. Source: mirror images of a box, J. B. Allen, D. A. Berkley, J. Acoust. Soc. Am. 65 (1979) 943–950, first order.
/// </remarks>
internal sealed record FreeFieldGate(SoundField Field, double Seconds, string Surface)
{
    private const double PositionToleranceMetres = 0.15;   // own choice, as for distances: tape measure and acoustic centre together
    private const double ShortestSeconds = 0.001;

    internal static FreeFieldGate None { get; } = new(SoundField.Room, double.NaN, "");

    /// <summary>True where a reflection is known, and with it the gate.</summary>
    internal bool IsKnown => !double.IsNaN(Seconds);

    /// <summary>What it is called in a sentence.</summary>
    internal string Words => FormattableString.Invariant($"the gate of {Seconds * 1000:0.#} ms before the first reflection ({Surface})");

    internal static FreeFieldGate Of(Take take, StudyContext context)
    {
        if (take.Field != SoundField.Free) return None;
        var survey = context.Survey;
        if (survey.Room is not { } room || take.Sources.Count != 1 || take.Seat.Length == 0
            || survey.Source(take.Sources[0]).Position is not { } source || survey.Seat(take.Seat).Position is not { } seat) return new(SoundField.Free, double.NaN, "");
        (Position Image, string Surface)[] images =
        [
            (source with { ZMetres = -source.ZMetres }, "floor"), (source with { ZMetres = 2 * room.HeightMetres - source.ZMetres }, "ceiling"),
            (source with { XMetres = -source.XMetres }, "wall"), (source with { XMetres = 2 * room.LengthMetres - source.XMetres }, "wall"),
            (source with { YMetres = -source.YMetres }, "wall"), (source with { YMetres = 2 * room.WidthMetres - source.YMetres }, "wall"),
        ];
        var (first, surface) = images.Select(image => (Metres: image.Image.DistanceMetresTo(seat), image.Surface)).MinBy(image => image.Metres);
        var laterMetres = first - source.DistanceMetresTo(seat) - PositionToleranceMetres;
        return new(SoundField.Free, Math.Max(ShortestSeconds, laterMetres / context.SpeedOfSoundMetresPerSecond), surface);
    }

    /// <summary>The window cut short where the gate is known.</summary>
    internal ImpulseWindow Cut(ImpulseWindow window) => IsKnown ? window with { RightSeconds = Math.Min(window.RightSeconds, Seconds) } : window;

    /// <summary>No doubt; where no reflection is known, a remark that says so.</summary>
    internal TrustMask Mask(ReadOnlySpan<double> frequenciesHz)
    {
        var reasons = new Reason[frequenciesHz.Length];
        if (Field == SoundField.Free && !IsKnown)
            Array.Fill(reasons, Reason.Remark("free of reflections by the survey's word: without room and positions the first one is not known"));
        return new(frequenciesHz, reasons);
    }
}
