// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text.RegularExpressions;
using Sweepbook.Files;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>A take that an import has added to a survey.</summary>
/// <param name="File">The take, relative to the survey folder.</param>
/// <param name="Recording">Where it comes from, as the user called it.</param>
/// <param name="AtSeconds">Where its sweep begins in that recording, in seconds; NaN where the whole file was taken.</param>
/// <param name="Seat">Its seat.</param>
/// <param name="TimeZero">How it knows when the stimulus left.</param>
/// <param name="ClockPpm">By how much the recorder's clock was fast, in parts per million; null where not known well enough to be worth removing.</param>
/// <param name="Remarks">What is worth knowing about it, as sentences.</param>
internal sealed record ImportedTake(string File, string Recording, double AtSeconds, string Seat, TimeZero TimeZero, double? ClockPpm, IReadOnlyList<string> Remarks);

/// <summary>The remark in an imported take that says where it comes from, and that nothing is imported twice.</summary>
/// <remarks>The recording is known by the first digits of its SHA-256, so that another name does not make it another recording. Own convention.</remarks>
internal sealed partial record TakeOrigin(string Recording, string Sha256)
{
    private const int Digits = 16;               // 64 bits: two recordings of one survey never agree in them by chance
    private const double SameSeconds = 0.5;      // a sweep found again is found within milliseconds

    private string Mark => $"SHA-256 {Sha256[..Digits]}…";

    /// <summary>Reads the recording's sum and refuses one that the survey already holds whole.</summary>
    /// <exception cref="DataFault">The recording is a take of the survey, or cannot be read.</exception>
    internal static TakeOrigin Of(string path, Survey survey)
    {
        var origin = new TakeOrigin(Path.GetFileName(path), FileHash.Sha256(path));
        var length = new FileInfo(path).Length;
        foreach (var take in survey.Takes)
            if (Path.GetFullPath(path) == take.Path || (new FileInfo(take.Path) is { Exists: true } file && file.Length == length && FileHash.Sha256(take.Path, take.File) == origin.Sha256))
                throw new DataFault(path, null, $"it already is a take of this survey, as {take.File}", "There is nothing to import; change its entry in survey.toml if it says the wrong thing, or add a [[take]] of the same file for another channel of it.");
        return origin;
    }

    /// <summary>The remark of a take that was cut from it.</summary>
    internal string CutAt(double seconds) => string.Create(CultureInfo.InvariantCulture, $"cut from {Recording} at {seconds:0.00} s ({Mark})");

    /// <summary>The remark of a take that is all of it.</summary>
    internal string Whole => $"made from {Recording} ({Mark})";

    /// <summary>The take that was already made from this channel of the recording at that moment; null where there is none.</summary>
    /// <remarks>Another channel is another microphone.</remarks>
    internal Take? Earlier(Survey survey, double atSeconds, int channel) => survey.Takes.FirstOrDefault(take =>
        take.MicrophoneChannel == channel
        && take.Note.Contains(Mark, StringComparison.Ordinal)
        && (!(Moment().Match(take.Note) is { Success: true } moment) || Math.Abs(double.Parse(moment.Groups[1].Value, CultureInfo.InvariantCulture) - atSeconds) < SameSeconds));

    /// <summary>Refuses what was already imported.</summary>
    /// <exception cref="DataFault">A take of the survey was made from it.</exception>
    internal void RefuseTwice(Survey survey, double atSeconds, int channel, string shownAs)
    {
        if (Earlier(survey, atSeconds, channel) is { } earlier)
            throw new DataFault(shownAs, null, $"it was already imported as {earlier.File}", "To import it again, take that entry out of survey.toml and its file out of the takes folder first.");
    }

    /// <summary>How many seats, with their verb.</summary>
    internal static string Seats(int count) => count == 1 ? "1 seat is" : $"{count} seats are";

    [GeneratedRegex(@" at (\d+\.\d+) s \(SHA-256 ")]
    private static partial Regex Moment();
}
