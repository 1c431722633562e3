// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Microphones;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>What the study found out about one take.</summary>
/// <remarks>A take that cannot be used has <see cref="WhyNot"/> and no numbers beyond those of its recording. Source: own definition.</remarks>
public sealed class TakeResult
{
    internal TakeResult(Take take) => Take = take;

    /// <summary>The take as the survey describes it.</summary>
    public Take Take { get; }

    /// <summary>True where the take went into a response.</summary>
    public bool IsUsed => WhyNot is null;

    /// <summary>Why it was left out: what, where, what to do; null where it was used.</summary>
    public string? WhyNot { get; internal init; }

    /// <summary>What is wrong without making the take useless, in words; empty where nothing is.</summary>
    public IReadOnlyList<string> Faults => [.. Named.Select(fault => fault.Words)];

    /// <summary>The same, each with its kind and number.</summary>
    internal IReadOnlyList<TakeFault> Named { get; init; } = [];

    /// <summary>How the take knows when the stimulus left.</summary>
    public TimeZero TimeZero { get; internal init; }

    /// <summary>Group whose members share the time zero.</summary>
    public TimeGroup TimeGroup { get; internal init; }

    /// <summary>How well the time zero is known, in seconds; NaN where there is none, or no silent block to judge it by.</summary>
    public double TimeZeroUncertaintySeconds { get; internal init; } = double.NaN;

    /// <summary>By how much the recorder's clock was fast, in parts per million, which was taken out before the analysis; NaN where it shares the player's clock or is not known.</summary>
    public double ClockPpm { get; internal init; } = double.NaN;

    /// <summary>Standard deviation of <see cref="ClockPpm"/>; NaN where that is.</summary>
    public double ClockUncertaintyPpm { get; internal init; } = double.NaN;

    /// <summary>How the clock error was found, or why it is not known; empty where the clock is shared.</summary>
    internal string ClockMethod { get; init; } = "";

    /// <summary>What an ordinary clock error would do to the phase at the top of the band, in degrees.</summary>
    internal double PhaseCostDegrees { get; init; } = double.NaN;

    /// <summary>First arrival; null for a take without time zero and for a source that is not full-band.</summary>
    public Arrival? Arrival { get; internal init; }

    /// <summary>Distance from the arrival at the room's speed of sound, in metres; NaN where there is no arrival.</summary>
    public double DistanceMetres { get; internal init; } = double.NaN;

    /// <summary>Largest sample of the microphone channel, in decibels re full scale; NaN where the file could not be read.</summary>
    public double PeakDbfs { get; internal init; } = double.NaN;

    /// <summary>Root mean square of the sweep over that of the silent block, unweighted over the whole band, in decibels; NaN where there is no silent block.</summary>
    public double SnrDb { get; internal init; } = double.NaN;

    /// <summary>Number of clipped samples in the microphone channel.</summary>
    public int ClippedSamples { get; internal init; }

    /// <summary>True where an input check took off what the two inputs do not share.</summary>
    internal bool IsInputCorrected { get; init; }

    /// <summary>Level of the loopback over the stimulus in decibels, octave by octave; empty where the take has none.</summary>
    internal IReadOnlyDictionary<int, double> LoopbackDb { get; init; } = SourceWatch.Nothing;

    /// <summary>Number of places at which the recorder lost or repeated samples; null where the take was left out for another reason before they were looked for.</summary>
    internal int? Dropouts { get; init; }

    /// <summary>What the silence before the sweep holds; null where there is none, or the microphone's sensitivity is not known.</summary>
    internal BlockNoise? SilentNoise { get; init; }

    /// <summary>Where this take's level may be believed.</summary>
    public TrustedBand LevelBand { get; internal init; } = new(double.NaN, double.NaN, default, default);

    internal TakeResult With(TrustedBand levelBand) => new(Take)
    {
        WhyNot = WhyNot,
        Named = Named,
        Dropouts = Dropouts,
        IsInputCorrected = IsInputCorrected,
        SilentNoise = SilentNoise,
        LoopbackDb = LoopbackDb,
        TimeZero = TimeZero,
        TimeGroup = TimeGroup,
        TimeZeroUncertaintySeconds = TimeZeroUncertaintySeconds,
        ClockPpm = ClockPpm,
        ClockUncertaintyPpm = ClockUncertaintyPpm,
        ClockMethod = ClockMethod,
        PhaseCostDegrees = PhaseCostDegrees,
        Arrival = Arrival,
        DistanceMetres = DistanceMetres,
        PeakDbfs = PeakDbfs,
        SnrDb = SnrDb,
        ClippedSamples = ClippedSamples,
        LevelBand = levelBand,
    };
}
