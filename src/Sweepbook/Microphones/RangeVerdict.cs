// SPDX-License-Identifier: MIT
namespace Sweepbook.Microphones;

/// <summary>Whether a microphone serves a wanted range: yes, no, or not shown.</summary>
/// <param name="FromHz">Lower end of the wanted range in hertz.</param>
/// <param name="ToHz">Upper end of the wanted range in hertz.</param>
/// <param name="Serves">True for yes.</param>
/// <param name="IsShown">True for yes and for no; false where the takes, or what is known of the microphone, do not tell.</param>
/// <param name="Sentence">The verdict with its reason and, unless it is yes, what to do.</param>
public readonly record struct RangeVerdict(double FromHz, double ToHz, bool Serves, bool IsShown, string Sentence)
{
    /// <summary>"yes", "no" or "not shown".</summary>
    public string Word => Serves ? "yes" : IsShown ? "no" : "not shown";
}
