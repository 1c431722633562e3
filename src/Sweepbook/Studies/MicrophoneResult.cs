// SPDX-License-Identifier: MIT
using Sweepbook.Surveys;

namespace Sweepbook.Studies;

/// <summary>What a study found out about one microphone.</summary>
/// <remarks>Worked out when first asked for. Source: beside each part.</remarks>
public sealed partial class MicrophoneResult
{
    internal MicrophoneResult(Study study, Microphone microphone) => (Study, Stated) = (study, microphone);

    /// <summary>Its name in files and tables.</summary>
    public string Id => Stated.Id;

    /// <summary>What the survey states about it.</summary>
    public Microphone Stated { get; }

    /// <summary>The responses it took, in the order of the study.</summary>
    public IReadOnlyList<ResponseResult> Responses => [.. Study.Responses.Where(result => result.Microphone == Id)];

    internal Study Study { get; }
}
