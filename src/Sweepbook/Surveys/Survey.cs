// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Quantities;
using Sweepbook.Stimuli;

namespace Sweepbook.Surveys;

/// <summary>One measuring job: a folder with <c>survey.toml</c>, stimuli, takes and microphone files. It is data and never executed.</summary>
/// <remarks>Own convention (design, survey folder); it needs no source.</remarks>
public sealed partial class Survey
{
    /// <summary>Name of the file that describes the survey.</summary>
    public const string FileName = "survey.toml";

    internal Survey()
    {
    }

    /// <summary>The folder, absolute.</summary>
    public required string Folder { get; init; }

    /// <summary>The title, as text that was never meant to be markup; the folder's name where the survey states none.</summary>
    public required string Title { get; init; }

    /// <summary>The day of the survey, or null.</summary>
    public DateOnly? Date { get; init; }

    /// <summary>The room, or null.</summary>
    public Room? Room { get; init; }

    /// <summary>The user's processor, or null.</summary>
    public Processor? Processor { get; init; }

    /// <summary>Stimuli in the order of the file.</summary>
    public required IReadOnlyList<StimulusFile> Stimuli { get; init; }

    /// <summary>Microphones in the order of the file.</summary>
    public required IReadOnlyList<Microphone> Microphones { get; init; }

    /// <summary>Sources in the order of the file.</summary>
    public required IReadOnlyList<Source> Sources { get; init; }

    /// <summary>The outsides of the boxes whose size is stated, by their names.</summary>
    public IReadOnlyDictionary<string, BoxSize> Boxes { get; init; } = new Dictionary<string, BoxSize>();

    /// <summary>Seats in the order of the file.</summary>
    public required IReadOnlyList<Seat> Seats { get; init; }

    /// <summary>Settings in the order of the file; "as-found" first where it is not declared.</summary>
    public required IReadOnlyList<Setting> Settings { get; init; }

    /// <summary>Takes: first those with a table of their own, in the order of the file, then those found by name, sorted by name and repeat.</summary>
    public required IReadOnlyList<Take> Takes { get; init; }

    /// <summary>The recording of one signal in both inputs, whose ratio corrects the loopback takes with the same channels; or null. It belongs to no source and no seat.</summary>
    public Take? InputCheck { get; init; }

    /// <summary>Recordings of a calibrator's tone, which tell the microphones' sensitivities; in the order of the file. They belong to no source and no seat.</summary>
    public IReadOnlyList<Take> Calibrators { get; init; } = [];

    /// <summary>Lower end of the range that the job wants of every microphone, in hertz; or null.</summary>
    public double? WantedFromHz { get; init; }

    /// <summary>Upper end of that range in hertz; null where <see cref="WantedFromHz"/> is.</summary>
    public double? WantedToHz { get; init; }

    /// <summary>± decibels that readings may be off for the job; null where nothing is said.</summary>
    public double? WantedWithinDb { get; init; }

    /// <summary>The wanted range where it came from outside, in place of the survey's own, as <see cref="Wanting(string)"/> takes it; else empty.</summary>
    internal string WantedFromOutside { get; private init; } = "";

    /// <summary>Lower end in hertz of the middle band over which microphones are matched before they are compared.</summary>
    public double MatchFromHz { get; init; } = ComparisonReader.UsualMatchFromHz;

    /// <summary>Upper end of that band in hertz.</summary>
    public double MatchToHz { get; init; } = ComparisonReader.UsualMatchToHz;

    /// <summary>Recordings in the folder of the takes pattern whose names it does not fit: they are not analysed until they are renamed or named in a [[take]].</summary>
    public required IReadOnlyList<UnmatchedFile> UnmatchedFiles { get; init; }

    /// <summary>What is worth knowing and is no fault, as sentences: other files among the takes, positions outside the room.</summary>
    public required IReadOnlyList<string> Notes { get; init; }

    /// <summary>Reads and checks the survey in a folder.</summary>
    /// <param name="folder">The folder that holds <c>survey.toml</c>.</param>
    /// <returns>The survey, with defaults applied and patterns expanded.</returns>
    /// <exception cref="DataFault">What is wrong, with file and line and what to do. Missing recordings are not a fault here.</exception>
    /// <remarks>Reads only; neither recordings nor stimuli nor calibration files are opened. Own convention; it needs no source.</remarks>
    public static Survey Read(string folder)
    {
        ArgumentException.ThrowIfNullOrEmpty(folder);
        if (System.IO.File.Exists(folder)) throw new DataFault(folder, null, "this is a file, not a survey folder", $"Name the folder that holds {FileName}.");
        if (!Directory.Exists(folder)) throw new DataFault(folder, null, "there is no such folder", "Check the name, or start a survey with `sweepbook new`.");
        var path = System.IO.Path.Combine(folder, FileName);
        if (!System.IO.File.Exists(path)) throw new DataFault(folder, null, $"the folder has no {FileName}", "Name a survey folder, or start one with `sweepbook new`.");
        return new SurveyReader(System.IO.Path.GetFullPath(folder), TomlDocument.Read(path, FileName)).Read();
    }

    /// <summary>The same survey with some of its takes only, in the order given.</summary>
    /// <param name="takes">Takes of this survey.</param>
    /// <exception cref="ArgumentException">One of them is not in <see cref="Takes"/>.</exception>
    /// <remarks>For a quick look at a few takes. Nothing is read again. Own convention; it needs no source.</remarks>
    public Survey Only(IReadOnlyList<Take> takes)
    {
        ArgumentNullException.ThrowIfNull(takes);
        if (takes.FirstOrDefault(take => !Takes.Contains(take)) is { } stranger)
            throw new ArgumentException($"{stranger.File} is not a take of this survey.", nameof(takes));
        return With([.. takes], WantedFromHz, WantedToHz, WantedWithinDb);
    }

    /// <summary>The same survey with another wanted range, in place of the one that it states.</summary>
    /// <param name="fromHz">Lower end in hertz, in [1, 100000].</param>
    /// <param name="toHz">Upper end in hertz, in (<paramref name="fromHz"/>, 100000].</param>
    /// <param name="withinDb">± decibels that readings may be off, in (0, 20]; null keeps what the survey states.</param>
    /// <exception cref="ArgumentOutOfRangeException">One of them is outside its interval.</exception>
    /// <remarks>Nothing is read again. Own convention; it needs no source.</remarks>
    public Survey Wanting(double fromHz, double toHz, double? withinDb = null)
    {
        if (!(fromHz >= WantedReader.LowestHz && fromHz <= WantedReader.HighestHz))
            throw new ArgumentOutOfRangeException(nameof(fromHz), fromHz, FormattableString.Invariant($"Must be in [{WantedReader.LowestHz}, {WantedReader.HighestHz}] Hz."));
        if (!(toHz > fromHz && toHz <= WantedReader.HighestHz))
            throw new ArgumentOutOfRangeException(nameof(toHz), toHz, FormattableString.Invariant($"Must be in ({fromHz}, {WantedReader.HighestHz}] Hz."));
        if (withinDb is { } within && !(within > 0 && within <= WantedReader.MostDb))
            throw new ArgumentOutOfRangeException(nameof(withinDb), withinDb, FormattableString.Invariant($"Must be in (0, {WantedReader.MostDb}] dB."));
        return With(Takes, fromHz, toHz, withinDb ?? WantedWithinDb, fromOutside: FormattableString.Invariant($"{fromHz}:{toHz}"));
    }

    /// <summary>The same, from a text: <c>Survey.Read(folder).Wanting("5:120")</c>.</summary>
    /// <param name="range">Two frequencies in hertz with a colon between them; an empty text leaves the survey as it is.</param>
    /// <exception cref="ArgumentException">The text is no such range; the message says what to write.</exception>
    /// <remarks>For a value from a command line or a form. Own convention; it needs no source.</remarks>
    public Survey Wanting(string range)
    {
        ArgumentNullException.ThrowIfNull(range);
        if (range.Length == 0) return this;
        var (fromHz, toHz) = WantedReader.Parse(range, out var problem);
        return problem.Length == 0 ? Wanting(fromHz, toHz) : throw new ArgumentException(problem, nameof(range));
    }

    private Survey With(IReadOnlyList<Take> takes, double? wantedFromHz, double? wantedToHz, double? wantedWithinDb, IReadOnlyList<Microphone>? microphones = null, string? fromOutside = null)
    {
        return new()
        {
            WantedFromOutside = fromOutside ?? WantedFromOutside,
            WantedFromHz = wantedFromHz,
            WantedToHz = wantedToHz,
            WantedWithinDb = wantedWithinDb,
            Folder = Folder,
            Title = Title,
            Date = Date,
            Room = Room,
            Processor = Processor,
            Stimuli = Stimuli,
            Microphones = microphones ?? Microphones,
            Sources = Sources,
            Boxes = Boxes,
            Seats = Seats,
            Settings = Settings,
            Takes = takes,
            InputCheck = InputCheck,
            Calibrators = Calibrators,
            MatchFromHz = MatchFromHz,
            MatchToHz = MatchToHz,
            UnmatchedFiles = UnmatchedFiles,
            Notes = Notes,
        };
    }

    /// <summary>The stimulus with an id.</summary>
    /// <exception cref="ArgumentException">There is none.</exception>
    public StimulusFile Stimulus(string id) => Find(Stimuli, item => item.Id, id, "stimulus");

    /// <summary>The microphone with an id.</summary>
    /// <exception cref="ArgumentException">There is none.</exception>
    public Microphone Microphone(string id) => Find(Microphones, item => item.Id, id, "microphone");

    /// <summary>The source with an id.</summary>
    /// <exception cref="ArgumentException">There is none.</exception>
    public Source Source(string id) => Find(Sources, item => item.Id, id, "source");

    /// <summary>The seat with an id.</summary>
    /// <exception cref="ArgumentException">There is none.</exception>
    public Seat Seat(string id) => Find(Seats, item => item.Id, id, "seat");

    /// <summary>The setting with an id.</summary>
    /// <exception cref="ArgumentException">There is none.</exception>
    public Setting Setting(string id) => Find(Settings, item => item.Id, id, "setting");

    private static T Find<T>(IReadOnlyList<T> items, Func<T, string> idOf, string id, string kind)
    {
        ArgumentNullException.ThrowIfNull(id);
        foreach (var item in items) if (idOf(item) == id) return item;
        throw new ArgumentException($"The survey has no {kind} \"{id}\". {NearestName.Advice(id, [.. items.Select(idOf)])}", nameof(id));
    }
}
