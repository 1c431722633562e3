// SPDX-License-Identifier: MIT
using Sweepbook.Nearfield;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>What a study found out about one box from takes close to its cones and ports.</summary>
/// <remarks>
/// Takes are put together that agree in setting, microphone, stimulus, drive and input gain. Worked out when first asked for. Source: beside each part
/// (<see cref="NearfieldSum"/>, <see cref="BaffleDiffraction"/>, <see cref="FreeFieldSplice"/>).
/// </remarks>
public sealed class BoxResult
{
    private readonly Lazy<NearfieldSum?> _sum;
    private readonly Lazy<IReadOnlyList<(ResponseResult Gated, FreeFieldSplice Splice)>> _splices;
    private readonly Study _study;
    private string? _whyNoSum;

    internal BoxResult(Study study, string id, IReadOnlyList<ResponseResult> responses, string? whyNoSum)
    {
        (_study, Id, Responses, WhyIncomplete) = (study, id, responses, whyNoSum);
        Size = study.Survey.Boxes.TryGetValue(id, out var size) ? size : null;
        _sum = new(() => BoxStudy.SumOf(this, out _whyNoSum));
        _splices = new(() => [.. BoxStudy.Gated(this).Select(gated => (gated, SpliceWith(gated)))]);
    }

    /// <summary>Its name, as <c>part_of</c> has it.</summary>
    public string Id { get; }

    /// <summary>Its outside, where the survey states it; or null.</summary>
    public BoxSize? Size { get; }

    /// <summary>The responses close to its cones and ports, in the order of the survey's sources.</summary>
    public IReadOnlyList<ResponseResult> Responses { get; }

    /// <summary>Why cone and port were not added, and what to do; null where they were.</summary>
    public string? WhyNoSum => _sum.Value is null ? _whyNoSum : null;

    /// <summary>Cones and ports together.</summary>
    /// <exception cref="InvalidOperationException">They may not be added; the message is <see cref="WhyNoSum"/>.</exception>
    public NearfieldSum Sum => _sum.Value ?? throw new InvalidOperationException(_whyNoSum);

    /// <summary>Up to where the sum tells what arrives far away, in hertz.</summary>
    /// <exception cref="InvalidOperationException">There is no sum.</exception>
    public double UpperLimitHz => Sum.Limit.FrequencyHz;

    /// <summary>What sets that limit, in words with numbers.</summary>
    /// <exception cref="InvalidOperationException">There is no sum.</exception>
    public string UpperLimitReason => Sum.Limit.Reason;

    /// <summary>What the front's edges do to the first cone's sound far away; null where the box's size is not stated. A cone whose place is not stated is taken to sit in the middle.</summary>
    public BaffleDiffraction? Diffraction => DiffractionAt(double.PositiveInfinity);

    /// <summary>The sum joined to each free-field response of the box in the survey, in its order; empty where there is none.</summary>
    public IReadOnlyList<(ResponseResult Gated, FreeFieldSplice Splice)> Splices => WhyNoSum is null ? _splices.Value : [];

    /// <summary>The same for a microphone on the axis at a distance; null where the box's size is not stated.</summary>
    /// <param name="distanceMetres">Distance in metres, above zero; ∞ for far away.</param>
    /// <returns>The edges of the front.</returns>
    /// <exception cref="ArgumentException">The cone does not fit on the front at its place.</exception>
    /// <remarks>See <see cref="BaffleDiffraction"/>.</remarks>
    public BaffleDiffraction? DiffractionAt(double distanceMetres) => BoxStudy.DiffractionOf(this, distanceMetres, _study.SpeedOfSoundMetresPerSecond);

    /// <summary>The sum joined to a gated free-field response.</summary>
    /// <param name="gated">A response with field = "free" whose take states its distance.</param>
    /// <returns>The joint, or why there is none.</returns>
    /// <exception cref="ArgumentException">It is no free-field response, or its distance is not stated.</exception>
    /// <exception cref="InvalidOperationException">There is no sum.</exception>
    /// <remarks>Stated drives and input gains that differ are reckoned with. See <see cref="FreeFieldSplice"/> for the rest and when it misleads.</remarks>
    public FreeFieldSplice SpliceWith(ResponseResult gated)
    {
        ArgumentNullException.ThrowIfNull(gated);
        return BoxStudy.Splice(this, gated);
    }

    /// <summary>The sum as it would arrive at the microphone of a free-field response: what <see cref="SpliceWith"/> joins to it.</summary>
    /// <param name="gated">A response with field = "free" whose take states its distance.</param>
    /// <returns>A response on the grid of the sum, in half space where the box's size is not stated and with its edges where it is; doubted above what it tells.</returns>
    /// <exception cref="ArgumentException">It is no free-field response, or its distance is not stated.</exception>
    /// <exception cref="InvalidOperationException">There is no sum.</exception>
    /// <remarks>Misleads in a room, and as <see cref="BaffleDiffraction"/> does. Source: <see cref="NearfieldSum.FarField"/> times that.</remarks>
    public Response NearFieldAt(ResponseResult gated)
    {
        ArgumentNullException.ThrowIfNull(gated);
        return BoxStudy.NearAt(this, gated);
    }

    internal Study Study => _study;

    /// <summary>What keeps the takes from making a whole; null where nothing does.</summary>
    internal string? WhyIncomplete { get; }

    internal string Setting => Responses.Count > 0 ? Responses[0].Setting : "";
}
