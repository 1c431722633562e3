// SPDX-License-Identifier: MIT
using Sweepbook.Trust;

namespace Sweepbook.Studies;

public sealed partial class Study
{
    /// <summary>Those of the findings that say what each microphone is good for: where it can be believed, whether it serves the wanted range, and how it reads against the reference.</summary>
    public IReadOnlyList<Finding> MicrophoneFindings => [.. Findings.Where(finding => finding.Id is "microphone-range" or "microphone-wanted" or "microphone-compared")];
}
