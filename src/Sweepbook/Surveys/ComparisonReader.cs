// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Quantities;

namespace Sweepbook.Surveys;

/// <summary>Reads [microphone-comparison], the middle band over which microphones are matched, and sees to it that one microphone at most is the reference.</summary>
internal static class ComparisonReader
{
    internal const string Key = "microphone-comparison";

    /// <summary>Where microphones are matched unless the survey says otherwise. Common practice, no source: neither end of a microphone reaches into it.</summary>
    internal const double UsualMatchFromHz = 300, UsualMatchToHz = 3000;

    private const double LeastWidthOctaves = 1 / 3.0;
    private static readonly TomlRange s_frequency = TomlRange.Above0UpTo(400_000, "Hz");

    internal static (double FromHz, double ToHz) Read(TomlTable root)
    {
        if (root.Table(Key) is not { } table) return (UsualMatchFromHz, UsualMatchToHz);
        table.RefuseUnknownKeys("match_from_hz", "match_to_hz");
        var (fromHz, toHz) = (table.Number("match_from_hz", s_frequency) ?? UsualMatchFromHz, table.Number("match_to_hz", s_frequency) ?? UsualMatchToHz);
        return toHz >= fromHz * Math.Pow(2, LeastWidthOctaves) ? (fromHz, toHz)
            : throw table.Fault(table.Has("match_to_hz") ? "match_to_hz" : "match_from_hz", FormattableString.Invariant($"the middle band from {fromHz} to {toHz} Hz is narrower than a third of an octave"), "State one that both microphones read well, an octave wide or more.");
    }

    /// <summary>With two references nobody knows which of them is right.</summary>
    internal static void RefuseTwoReferences(IReadOnlyList<Microphone> microphones)
    {
        if (microphones.Where(microphone => microphone.IsReference).Skip(1).FirstOrDefault() is { } second)
            throw new DataFault(Survey.FileName, second.Line, $"\"{second.Id}\" is marked as the reference, and so is \"{microphones.First(microphone => microphone.IsReference).Id}\"", "Keep `reference = true` with the one that you trust most.");
    }
}
