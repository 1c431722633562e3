// SPDX-License-Identifier: MIT
using Sweepbook.Trust;

namespace Sweepbook.Studies;

public sealed partial class Study
{
    /// <summary>Those of the findings that say what each microphone is good for: where it can be believed, and how it reads against the reference. Whether it serves a wanted range is among <see cref="RecordingFindings"/>.</summary>
    public IReadOnlyList<Finding> MicrophoneFindings => [.. Findings.Where(finding => finding.Id is "microphone-range" or "microphone-compared")];
}
