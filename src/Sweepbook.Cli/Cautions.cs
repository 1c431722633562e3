// SPDX-License-Identifier: MIT
namespace Sweepbook.Cli;

/// <summary>What has to stand beside every proposed level.</summary>
/// <remarks>
/// Exposure: NIOSH recommended limit, 85 dB(A) for 8 hours, half the time for each 3 dB more. Dose in dB(A) says little about low bass:
/// a tone of 110 dB at 20 Hz is 60 dB(A) (IEC 61672-1, A weighting).
/// </remarks>
internal static class Cautions
{
    /// <summary>In full, one sentence or two each.</summary>
    public static IReadOnlyList<string> All { get; } =
    [
        "Ears: play the first sweep quietly and raise the level in steps. Protect your hearing from 85 dB(A) on; at 94 dB(A) the advised limit is one hour a day. Low bass can be far louder than dB(A) says.",
        "Drivers: below its port tuning a cone has nothing to push against and moves the most. Start the sweep no lower than the loudspeaker can take, or lower the level.",
        "Amplifiers: switch off before you change a cable, and never open one; the voltages inside can kill. Begin with the gain at minimum.",
        "Anything hung or stacked, stands and microphone booms included, is secured before it is played. Local codes and licensed practice come first.",
    ];

    /// <summary>In one line, beside a level.</summary>
    public const string Short = "Start with the amplifier turned down and raise the level in steps: mind your ears, and mind a driver below its port tuning.";
}
