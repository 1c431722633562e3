// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Files;
using Sweepbook.Stimuli;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Makes takes of recordings that were made elsewhere: finds the stimulus, cuts it out, and writes take and entry.</summary>
/// <remarks>
/// The samples are those of the recording, bit for bit, in all its channels; nothing is resampled or made louder. A recorder that ran on its own clock is no
/// obstacle: the clock's error is estimated and written into the entry, and the analysis removes it. Source: own convention; the search is that of <see cref="SweepSearch"/>.
/// </remarks>
internal sealed class TakeImport
{
    private const double CutOffSeconds = 0.05;        // as the analysis: a subwoofer's peak comes that much later than its sound
    private const double LeastBeforeSeconds = 0.25;   // kept before the sweep even where the stimulus has no lead-in: sound comes late, never early
    private const double GapSeconds = 0.05;           // kept between the end of a take and the next sweep
    private const double ToldShare = 0.05;            // progress in twenty steps, however long the recording: a log stays readable
    private const int MostFramesForRates = 1 << 23;   // 3 minutes at 48 kHz; more takes gigabytes

    private readonly List<(TakeEntry, Action<Stream>)> _writes = [];
    private readonly List<ImportedTake> _takes = [];
    private readonly HashSet<string> _sums = new(StringComparer.Ordinal);
    private readonly SurveyAddition _addition;
    private readonly TakeEntry _wanted;
    private readonly IReadOnlyList<string> _seats;

    private TakeImport(SurveyAddition addition, TakeEntry wanted, IReadOnlyList<string> seats) => (_addition, _wanted, _seats) = (addition, wanted, seats);

    /// <summary>Imports every sweep of some recordings, or nothing at all.</summary>
    /// <param name="surveyFolder">The survey to add to.</param>
    /// <param name="recordings">WAV files of any length, in the order in which their takes are to be numbered.</param>
    /// <param name="wanted">What the takes share.</param>
    /// <param name="seats">One seat a sweep, in the order of time; or none, where the takes share theirs.</param>
    /// <param name="progress">Told in words what is being done, or null.</param>
    /// <param name="cancellation">Stops the search; then nothing is written.</param>
    /// <returns>The takes that were added.</returns>
    /// <exception cref="DataFault">No sweep was found, or it is cut off; another rate; already imported; the survey does not fit or cannot be written.</exception>
    internal static IReadOnlyList<ImportedTake> Sweeps(
        string surveyFolder, IReadOnlyList<string> recordings, TakeEntry wanted, IReadOnlyList<string> seats, IProgress<string>? progress, CancellationToken cancellation)
    {
        var import = new TakeImport(SurveyAddition.To(surveyFolder), wanted, seats);
        var files = new List<WavBlocks>();
        try
        {
            foreach (var recording in recordings)
            {
                files.Add(WavBlocks.Open(recording, recording));
                import.Find(files[^1], recording, progress, cancellation);
            }
            if (seats.Count > 0 && import._takes.Count != seats.Count)
                throw new DataFault(recordings[0], null, $"{Sweeps(import._takes.Count)} found ({string.Join(", ", import._takes.Select(take => Words($"{take.AtSeconds:0.0} s")))}), but {TakeOrigin.Seats(seats.Count)} named",
                    "Name one seat for each sweep, in the order of time; nothing was written.");
            import._addition.Write(import._writes, cancellation);
        }
        finally
        {
            foreach (var file in files) file.Dispose();
        }
        return import._takes;
    }

    private void Find(WavBlocks file, string name, IProgress<string>? progress, CancellationToken cancellation)
    {
        var asked = _wanted with { File = "takes/draft-of-an-import.wav", Seat = _seats.Count > 0 ? _seats[0] : _wanted.Seat, TimeZero = _wanted.ReferenceChannel is null ? _wanted.TimeZero : TimeZero.Loopback };
        var draft = _addition.Draft(asked);
        var entry = _addition.Survey.Stimulus(draft.Stimulus!);
        var stimulus = Stimulus.Read(entry.Path, entry.File);
        Refuse(file, name, stimulus, entry, draft);
        var origin = TakeOrigin.Of(name, _addition.Survey);
        if (!_sums.Add(origin.Sha256)) throw new DataFault(name, null, "the same recording is given twice", "Name it once.");
        var rate = (double)stimulus.SampleRateHz;
        var told = 0.0;
        var search = new SweepSearch(stimulus);
        var result = search.Find((first, samples) => file.Read(draft.MicrophoneChannel, first, samples), file.Header.Length,
            share =>
            {
                if (share - told < ToldShare && share < 1) return;
                told = share;
                progress?.Report($"{name}: searched to {Clock(share * file.Header.Length / rate)} of {Clock(file.Header.Length / rate)}");
            }, cancellation);
        var whole = result.Found.Where(found => CutOff(found, stimulus, file.Header.Length) is null).ToList();
        if (result.Found.Count == 0) throw NotFound(file, name, stimulus, entry, draft, result);
        if (whole.Count == 0) throw new DataFault(name, null, CutOff(result.Found[0], stimulus, file.Header.Length)!, "What is missing of a sweep cannot be made up: record it again, and let the recorder run before the sound begins and until it has died away.");
        foreach (var found in whole) Take(file, name, origin, stimulus, search, draft, result.Found, found, cancellation);
        foreach (var found in result.Found.Except(whole))
            _takes[^1] = _takes[^1] with { Remarks = [.. _takes[^1].Remarks, $"Left out: {CutOff(found, stimulus, file.Header.Length)}."] };
    }

    private void Take(
        WavBlocks file, string name, TakeOrigin origin, Stimulus stimulus, SweepSearch search, Take draft, IReadOnlyList<FoundSweep> all, FoundSweep found, CancellationToken cancellation)
    {
        var rate = (double)stimulus.SampleRateHz;
        var at = found.SweepStart / rate;
        origin.RefuseTwice(_addition.Survey, at, draft.MicrophoneChannel, name);
        var (first, end) = Cut(file.Header.Length, stimulus, all, found);
        var remarks = new List<string>();
        var reference = Reference(file, name, search, draft, first, end, found, remarks, cancellation);
        var zero = reference is not null ? TimeZero.Loopback : stimulus.HasMarker ? TimeZero.Marker : TimeZero.Unknown;
        double? clock = null;
        if (zero == TimeZero.Unknown)
        {
            var samples = new double[end - first];
            file.Read(draft.MicrophoneChannel, first, samples);
            clock = ImportedClock.Ppm(stimulus, samples, remarks);
        }
        var seat = _seats.Count > _takes.Count ? _seats[_takes.Count] : draft.Seat;
        if (_seats.Count > 0) _ = _addition.Survey.Seat(seat);
        var entry = _wanted with
        {
            File = _addition.NewName(draft.Sources, seat, draft.Setting, draft.Microphone, draft.Stimulus!),
            Seat = seat.Length > 0 ? seat : null,
            Setting = draft.Setting,
            Microphone = draft.Microphone,
            Stimulus = draft.Stimulus,
            MicrophoneChannel = draft.MicrophoneChannel,
            ReferenceChannel = reference,
            TimeZero = zero,
            ClockPpm = clock,
            Note = origin.CutAt(at),
        };
        _writes.Add((entry, stream => file.Copy(stream, first, (int)(end - first))));
        _takes.Add(new(entry.File, name, at, seat, zero, clock, remarks));
    }

    /// <summary>As much before and after the sweep as the stimulus has, where the recording has it and no other sweep lies there.</summary>
    private static (long First, long End) Cut(long length, Stimulus stimulus, IReadOnlyList<FoundSweep> all, FoundSweep found)
    {
        var rate = stimulus.SampleRateHz;
        var before = Math.Max(stimulus.SweepStart, (long)(LeastBeforeSeconds * rate));
        var after = stimulus.Length - stimulus.SweepStart + (long)Math.Ceiling(SweepSearch.LargestClockErrorRatio * stimulus.Length);
        var earlier = all.Where(other => other.SweepStart < found.SweepStart).Select(other => other.SweepStart - stimulus.SweepStart + stimulus.Length).DefaultIfEmpty(0).Max();
        var later = all.Where(other => other.SweepStart > found.SweepStart).Select(other => other.SweepStart - (long)(GapSeconds * rate)).DefaultIfEmpty(length).Min();
        var first = Math.Max(0, Math.Max(found.SweepStart - before, Math.Min(earlier, found.SweepStart - (long)(GapSeconds * rate))));
        return (first, Math.Min(length, Math.Min(later, found.SweepStart + after)));
    }

    /// <summary>The loopback's channel where it holds the stimulus; a remark, or a fault where somebody asked for it, where it does not.</summary>
    private int? Reference(WavBlocks file, string name, SweepSearch search, Take draft, long first, long end, FoundSweep found, List<string> remarks, CancellationToken cancellation)
    {
        if (draft.ReferenceChannel is not int channel) return null;
        string problem;
        if (channel > file.Header.ChannelCount) problem = $"it has {Channels(file.Header.ChannelCount)}, so there is no loopback on channel {channel}";
        else
        {
            var result = search.Find((from, samples) =>
            {
                file.Read(channel, first + from, samples);
                samples[(int)Math.Clamp(end - first - from, 0, samples.Length)..].Clear();
                samples[..(int)Math.Clamp(-from, 0, samples.Length)].Clear();
            }, end - first, null, cancellation);
            if (result.Found.Any(other => Math.Abs(first + other.SweepStart - found.SweepStart) < file.Header.SampleRateHz)) return channel;
            problem = $"channel {channel} does not hold the stimulus";
        }
        if (_wanted.ReferenceChannel is not null) throw new DataFault(name, null, problem, "Correct --reference-channel, or leave it out: then only levels can be compared, not phases.");
        remarks.Add($"No loopback: {problem}.");
        return null;
    }

    private static void Refuse(WavBlocks file, string name, Stimulus stimulus, StimulusFile entry, Take draft)
    {
        if (file.Header.SampleRateHz != stimulus.SampleRateHz)
            throw new DataFault(name, null, $"{Stimulus.OtherRate(file.Header.SampleRateHz, stimulus.SampleRateHz)} ({entry.File})",
                "Record at the stimulus' rate, or name the stimulus that was played with --stimulus; nothing is resampled behind your back.");
        if (draft.MicrophoneChannel > file.Header.ChannelCount)
            throw new DataFault(name, null, $"it has {Channels(file.Header.ChannelCount)}, and the microphone is said to be on channel {draft.MicrophoneChannel}", "Say which channel it is with --microphone-channel.");
    }

    private static DataFault NotFound(WavBlocks file, string name, Stimulus stimulus, StimulusFile entry, Take draft, SweepSearchResult result)
    {
        if (file.Header.Length <= MostFramesForRates)
        {
            var samples = new double[file.Header.Length];
            file.Read(draft.MicrophoneChannel, 0, samples);
            if (!samples.AsSpan().ContainsAnyExcept(0.0))
                return new(name, null, $"channel {draft.MicrophoneChannel} is silent", "Say with --microphone-channel which channel the microphone is on, or check its cable and record again.");
            if (WrongRate.Find(stimulus, samples) is { } wrong) return new(name, null, wrong.Words, $"{wrong.Remedy}.");
        }
        var sweepLength = stimulus.SweepEnd - stimulus.SweepStart;
        if (file.Header.Length < sweepLength)
            return new(name, null, Words($"it lasts {file.Header.Length / (double)stimulus.SampleRateHz:0.0} s, and the sweep of {entry.File} alone takes {sweepLength / (double)stimulus.SampleRateHz:0.0} s"),
                "Check that recording and stimulus belong together (--stimulus).");
        return new(name, null, Words($"the sweep of {entry.File} was not found on channel {draft.MicrophoneChannel}; what is most like it, at {Math.Max(0, result.NearestFrame) / (double)stimulus.SampleRateHz:0.0} s, is {Math.Ceiling(result.MissingDb):0} dB or more too weak"),
            "Check that recording and stimulus belong together (--stimulus), that the channel is the microphone's (--microphone-channel), and that the source was on; then play it louder or longer.");
    }

    private static string? CutOff(FoundSweep found, Stimulus stimulus, long length)
    {
        var rate = (double)stimulus.SampleRateHz;
        var (before, after) = (-found.SweepStart / rate, (found.SweepStart + stimulus.SweepEnd - stimulus.SweepStart - length) / rate);
        return before > CutOffSeconds ? Words($"the recording begins {before:0.0} s after the sweep did, so its lowest frequencies are missing")
            : after > CutOffSeconds ? Words($"the recording ends {after:0.0} s before the sweep at {found.SweepStart / rate:0.0} s does, so its highest frequencies are missing")
            : null;
    }

    private static string Clock(double seconds) => Words($"{Math.Floor(seconds / 60):0}:{Math.Floor(seconds % 60):00}");

    private static string Sweeps(int count) => count == 1 ? "1 sweep was" : $"{count} sweeps were";

    private static string Channels(int count) => count == 1 ? "1 channel" : $"{count} channels";

    private static string Words(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
