// SPDX-License-Identifier: MIT
using Sweepbook.Studies;

namespace Sweepbook.Notebook;

public static partial class Figures
{
    /// <summary>Cone, port and their sum close up, and the phase between the two, for every box of the survey.</summary>
    /// <param name="study">The study.</param>
    /// <returns>One figure per box and microphone, and one more of the phase where it has a port and both may be added; none where the survey has no box.</returns>
    /// <remarks>Cones and ports that may not be added are drawn as they were measured, and the figure says why. It draws what <see cref="BoxResult"/> holds.</remarks>
    public static IReadOnlyList<Figure> NearField(Study study)
    {
        ArgumentNullException.ThrowIfNull(study);
        return [.. study.Boxes.SelectMany(box => box.WhyNoSum is null && BoxChart.HasPort(box) ? new[] { NearField(box), NearFieldPhase(box) } : [NearField(box)])];
    }

    /// <summary>Level of cone, scaled port and their sum over frequency, with the uncertainty of the sum as a band, the tuning and the upper limit marked.</summary>
    /// <param name="box">The box.</param>
    /// <returns>One figure; without a sum, and with the reason, where the parts may not be added.</returns>
    /// <remarks>Levels are in decibels on the scale of the first cone close up. Source: as for <see cref="Nearfield.NearfieldSum"/>.</remarks>
    public static Figure NearField(BoxResult box)
    {
        ArgumentNullException.ThrowIfNull(box);
        return box.WhyNoSum is null ? BoxChart.Sum(box) : BoxChart.Refused(box);
    }

    /// <summary>Phase of the port over the cone: opposite below the tuning, a quarter of a turn at it, in step above.</summary>
    /// <param name="box">The box.</param>
    /// <returns>One figure in degrees.</returns>
    /// <exception cref="InvalidOperationException">The parts may not be added, or the box has neither port nor passive radiator.</exception>
    /// <remarks>Source: as for <see cref="Nearfield.NearfieldSum.PhaseBetweenDegreesAt"/>.</remarks>
    public static Figure NearFieldPhase(BoxResult box)
    {
        ArgumentNullException.ThrowIfNull(box);
        _ = box.Sum;   // says why there is none
        return BoxChart.HasPort(box) ? BoxChart.Phase(box) : throw new InvalidOperationException($"{box.Id} has neither port nor passive radiator in the survey, so there is no phase between two parts.");
    }

    /// <summary>What the front's edges make of the cone's sound, far away and at the distance of each free-field take: 6 dB down where the box is small beside the wave.</summary>
    /// <param name="box">The box.</param>
    /// <returns>One figure in decibels over the same cone in an endless wall.</returns>
    /// <exception cref="InvalidOperationException">The survey does not state the size of the box.</exception>
    /// <remarks>A model and no measurement. Source: as for <see cref="Nearfield.BaffleDiffraction"/>.</remarks>
    public static Figure Diffraction(BoxResult box)
    {
        ArgumentNullException.ThrowIfNull(box);
        return box.Diffraction is { } far ? EdgeChart.Draw(box, far)
            : throw new InvalidOperationException($"The survey does not state the size of {box.Id}: write width_m, height_m and depth_m of its [[box]].");
    }

    /// <summary>The near field brought to the place of each free-field take, the take itself and the curve joined from both, for every box of the survey.</summary>
    /// <param name="study">The study.</param>
    /// <returns>One figure per box and free-field take; none where there is none.</returns>
    /// <remarks>See <see cref="Splices(BoxResult)"/>.</remarks>
    public static IReadOnlyList<Figure> Splices(Study study)
    {
        ArgumentNullException.ThrowIfNull(study);
        return [.. study.Boxes.SelectMany(Splices)];
    }

    /// <summary>The same for one box.</summary>
    /// <param name="box">The box.</param>
    /// <returns>One figure per free-field take, with the overlap marked; where the two are not joined, both and the sentence that says why.</returns>
    /// <remarks>Source: as for <see cref="Nearfield.FreeFieldSplice"/>.</remarks>
    public static IReadOnlyList<Figure> Splices(BoxResult box)
    {
        ArgumentNullException.ThrowIfNull(box);
        return [.. box.Splices.Select(entry => SpliceChart.Draw(box, entry.Gated, entry.Splice))];
    }
}
