// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Files;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Makes takes of impulse responses, and of responses as text, that were measured elsewhere.</summary>
/// <remarks>An impulse response is copied byte for byte; one made from text is written in 32-bit float. Source: own convention.</remarks>
internal static class ImpulseImport
{
    private const double LongestSeconds = 3600;   // as time_zero_s in the survey

    /// <summary>Imports impulse responses.</summary>
    /// <param name="surveyFolder">The survey to add to.</param>
    /// <param name="files">WAV files.</param>
    /// <param name="wanted">What the takes share.</param>
    /// <param name="seats">One seat a file, or none.</param>
    /// <param name="cancellation">Stops the writing; then nothing is left.</param>
    /// <returns>The takes that were added.</returns>
    /// <exception cref="DataFault">A file cannot be used or was imported before; the survey does not fit or cannot be written.</exception>
    internal static IReadOnlyList<ImportedTake> Files(string surveyFolder, IReadOnlyList<string> files, TakeEntry wanted, IReadOnlyList<string> seats, CancellationToken cancellation) =>
        Add(surveyFolder, files, wanted, seats, cancellation, (file, draft) =>
        {
            var header = WavFile.ReadHeader(file);
            if (draft.MicrophoneChannel > header.ChannelCount)
                throw new DataFault(file, null, $"it has {header.ChannelCount} {(header.ChannelCount == 1 ? "channel" : "channels")}, and channel {draft.MicrophoneChannel} is wanted", "Say which channel it is with --microphone-channel.");
            if (wanted.TimeZeroSeconds is { } zero && !(zero >= 0 && zero * header.SampleRateHz <= header.Length))
                throw new DataFault(file, null, string.Create(CultureInfo.InvariantCulture, $"its time zero is said to lie at {zero} s, and it is {(double)header.Length / header.SampleRateHz:0.###} s long"), "Count --time-zero-s in seconds from the start of the file.");
            return (wanted.TimeZeroSeconds, stream => Copy(file, stream), []);
        });

    /// <summary>Imports responses as text.</summary>
    /// <param name="surveyFolder">The survey to add to.</param>
    /// <param name="files">Text files with frequency, level and phase.</param>
    /// <param name="wanted">What the takes share; its time zero is the delay that was taken out of the phase.</param>
    /// <param name="seats">One seat a file, or none.</param>
    /// <param name="cancellation">Stops the writing; then nothing is left.</param>
    /// <returns>The takes that were added.</returns>
    /// <exception cref="DataFault">A file cannot be used or was imported before; the survey does not fit or cannot be written.</exception>
    internal static IReadOnlyList<ImportedTake> Texts(string surveyFolder, IReadOnlyList<string> files, TakeEntry wanted, IReadOnlyList<string> seats, CancellationToken cancellation) =>
        Add(surveyFolder, files, wanted with { MicrophoneChannel = 1 }, seats, cancellation, (file, _) =>
        {
            var rows = ResponseRows.Read(file);
            var impulse = ImpulseOfText.Of(rows);
            var delay = wanted.TimeZeroSeconds ?? 0;
            if (!(delay >= 0 && delay <= LongestSeconds)) throw new DataFault(file, null, FormattableString.Invariant($"the delay that was taken out is said to be {delay} s"), "Give --time-zero-s in seconds, 0 or more.");
            var pad = (int)Math.Ceiling(Math.Max(0, delay * impulse.SampleRateHz - impulse.ZeroSamples));
            double[] samples = pad == 0 ? impulse.Samples : [.. new double[pad], .. impulse.Samples];
            return ((impulse.ZeroSamples + pad) / impulse.SampleRateHz - delay,
                stream => WavFile.Write(stream, Recording.Owning(impulse.SampleRateHz, [samples]), WavEncoding.Float32),
                [string.Create(CultureInfo.InvariantCulture, $"Its rows from {rows.LowestHz:0.##} to {rows.HighestFrequencyHz:0.#} Hz hold {1000.0 * impulse.Samples.Length / impulse.SampleRateHz:0} ms at {impulse.SampleRateHz} Hz; what the room does later than that, or beyond those frequencies, is not in it.")]);
        });

    private static IReadOnlyList<ImportedTake> Add(
        string surveyFolder, IReadOnlyList<string> files, TakeEntry wanted, IReadOnlyList<string> seats, CancellationToken cancellation,
        Func<string, Take, (double? ZeroSeconds, Action<Stream> Write, string[] Remarks)> read)
    {
        var addition = SurveyAddition.To(surveyFolder);
        if (seats.Count > 0 && seats.Count != files.Count)
            throw new DataFault(files[0], null, $"{(files.Count == 1 ? "1 file is" : $"{files.Count} files are")} given, but {TakeOrigin.Seats(seats.Count)} named", "Name one seat for each file, in their order.");
        var sums = new HashSet<string>(StringComparer.Ordinal);
        var (writes, takes) = (new List<(TakeEntry, Action<Stream>)>(), new List<ImportedTake>());
        foreach (var (file, place) in files.Select((file, place) => (file, place)))
        {
            cancellation.ThrowIfCancellationRequested();
            var asked = wanted with { Seat = seats.Count > 0 ? seats[place] : wanted.Seat, IsImpulse = true, Stimulus = null, ReferenceChannel = null };
            var draft = addition.Draft(asked with { File = "takes/draft-of-an-import.wav" });
            var origin = TakeOrigin.Of(file, addition.Survey);
            if (!sums.Add(origin.Sha256)) throw new DataFault(file, null, "the same response is given twice", "Name it once.");
            origin.RefuseTwice(addition.Survey, 0, draft.MicrophoneChannel, file);
            var (zero, write, remarks) = read(file, draft);
            var entry = asked with
            {
                File = addition.NewName(draft.Sources, draft.Seat, draft.Setting, draft.Microphone, "impulse"),
                Setting = draft.Setting,
                Microphone = draft.Microphone,
                MicrophoneChannel = draft.MicrophoneChannel,
                TimeZeroSeconds = zero,
                TimeZero = zero is null ? TimeZero.Unknown : null,
                Note = origin.Whole,
            };
            writes.Add((entry, write));
            takes.Add(new(entry.File, file, double.NaN, draft.Seat, zero is null ? TimeZero.Unknown : TimeZero.Stated, null, remarks));
        }
        addition.Write(writes, cancellation);
        return takes;
    }

    private static void Copy(string file, Stream target) => InputFile.Read(file, file, stream =>
    {
        stream.CopyTo(target);
        return true;
    });
}
