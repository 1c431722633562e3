// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Stimuli;

namespace Sweepbook.Simulation;

/// <summary>A roll-off: corner and order of a Butterworth filter.</summary>
internal readonly record struct PlannedRollOff(double CornerHz, int Order);

/// <summary>A loudspeaker or subwoofer.</summary>
/// <param name="Id">Its name.</param>
/// <param name="Kind">As survey.toml says it: subwoofer, loudspeaker, cone or port.</param>
/// <param name="Place">Where its acoustic centre is.</param>
/// <param name="Aim">The point it looks at, or null: alike in all directions.</param>
/// <param name="BeamHz">Where it becomes directional, if it has an aim.</param>
/// <param name="GainDb">Digital level to level at 1 m in the open, as the microphone delivers it at 0 dB input gain.</param>
/// <param name="DelaySeconds">Delay of its own processing.</param>
/// <param name="IsInverted">True where its terminals are exchanged.</param>
/// <param name="HighPass">Roll-off of box and driver.</param>
/// <param name="LowPass">Crossover in front of the driver.</param>
/// <param name="SecondOrderRatio">a2 of y = x + a2 x² + a3 x³, with x = 1 at digital full scale.</param>
/// <param name="ThirdOrderRatio">a3 of the same.</param>
/// <param name="DistortionBelowHz">The squares and cubes are those of x low-passed here (the excursion), or of x itself where null.</param>
internal sealed record PlannedSource(
    string Id, string Kind, Position Place, Position? Aim, double BeamHz, double GainDb, double DelaySeconds, bool IsInverted,
    PlannedRollOff? HighPass, PlannedRollOff? LowPass, double SecondOrderRatio, double ThirdOrderRatio, double? DistortionBelowHz)
{
    /// <summary>What it is of a box; null where it is a source by itself.</summary>
    public PlannedRadiator? Radiator { get; init; }
}

/// <summary>What the survey shall call the sound at a place.</summary>
internal enum PlannedField
{
    Room,
    Near,
    Free,
}

/// <summary>A seat; the noise there may differ from the room's. Or a place in front of a source, which is no seat.</summary>
internal sealed record PlannedSeat(string Id, Position Place, double? Weight, double NoiseGainDb)
{
    /// <summary>What the survey calls the sound there.</summary>
    public PlannedField Field { get; init; } = PlannedField.Room;

    /// <summary>Distance from a cone or port in millimetres, which then stands for the place; null elsewhere.</summary>
    public double? DistanceMm { get; init; }
}

/// <summary>The audio interface.</summary>
internal sealed record PlannedInterface(
    int ShortestLatency, int LongestLatency, double LoopbackGainDb, double LoopbackNoiseDbfs, double InputGainDb, double? CouplingHz);

/// <summary>Noise as the microphone channel records it, whatever the input gain.</summary>
internal sealed record PlannedNoise(double RoomDbfs, double SelfDbfs, double MainsHz, IReadOnlyList<double> MainsDbfs);

/// <summary>What the user's processor can do, passed on to survey.toml.</summary>
internal sealed record PlannedProcessor(double DelayStepMs, double DelayMaxMs, double GainStepDb, int FilterBands);

/// <summary>What is done to a finished take.</summary>
internal enum DamageKind
{
    None,

    /// <summary>The microphone channel is driven over full scale by so many decibels and clipped.</summary>
    Clipped,

    /// <summary>The loopback channel holds its noise only: the cable was not plugged in.</summary>
    SilentLoopback,

    /// <summary>The header names another sample rate; the samples are untouched.</summary>
    WrongRate,

    /// <summary>The file ends early; the header still announces everything.</summary>
    CutShort,

    /// <summary>The header says that there are no samples, as after a crash of the recorder.</summary>
    LengthZero,

    /// <summary>Some milliseconds in the middle of the sweep are missing, in all channels.</summary>
    LostSamples,

    /// <summary>Some milliseconds in the middle of the sweep stand in the file twice, in place of those that follow, in all channels.</summary>
    RepeatedBuffer,

    /// <summary>Some milliseconds in the middle of the sweep are zeros, in all channels.</summary>
    Zeros,

    /// <summary>The microphone's input bends the loudest crest by so many decibels, without a flat top.</summary>
    SoftClipped,

    /// <summary>A dull blow after two thirds of the sweep, so many decibels from the sweep's own level.</summary>
    Bump,

    /// <summary>Microphone and loopback cable are exchanged.</summary>
    ExchangedChannels,

    /// <summary>The loopback channel is a copy of the microphone channel.</summary>
    IdenticalChannels,

    /// <summary>The microphone channel is mixed into the loopback channel, so many decibels from its level.</summary>
    LeakingLoopback,

    /// <summary>Noise suppression: whatever is weak is made so many decibels weaker in the microphone channel.</summary>
    NoiseSuppression,

    /// <summary>The level of both channels falls by so many decibels while the sweep plays.</summary>
    LevelRiding,
}

/// <summary>Damage and its amount: dB, Hz, part of the length, or milliseconds, by kind; no amount where there is nothing to measure.</summary>
internal readonly record struct PlannedDamage(DamageKind Kind, double Amount);

/// <summary>One take to be written.</summary>
internal sealed record PlannedTake(PlannedSource Source, PlannedSeat Seat, int Repeat, PlannedDamage Damage)
{
    /// <summary>The microphone that took it.</summary>
    public required PlannedMicrophone Microphone { get; init; }

    /// <summary>Name without folder and ending; the take's random numbers are drawn for this name.</summary>
    public string Name => $"{Source.Id}_{Seat.Id}{(Microphone.IsListed ? $"_{Microphone.Id}" : "")}{(Repeat == 1 ? "" : $"_{Repeat}")}";

    public string File => $"takes/{Name}.wav";
}

/// <summary>Everything a plan says.</summary>
internal sealed record PlannedSurvey
{
    public required string Title { get; init; }

    public DateOnly? Date { get; init; }

    public required long Seed { get; init; }

    public required AcousticRoom Room { get; init; }

    public required double TemperatureCelsius { get; init; }

    public required PlannedProcessor? Processor { get; init; }

    public required string StimulusId { get; init; }

    public required StimulusDescription Stimulus { get; init; }

    /// <summary>One, or several that take turns.</summary>
    public required IReadOnlyList<PlannedMicrophone> Microphones { get; init; }

    /// <summary>The reference; without one the first.</summary>
    public PlannedMicrophone Microphone => Microphones.FirstOrDefault(microphone => microphone.IsReference) ?? Microphones[0];

    public PlannedSubstitution Substitution { get; init; }

    public PlannedCalibrator? Calibrator { get; init; }

    public IReadOnlyList<PlannedBox> Boxes { get; init; } = [];

    public required PlannedInterface Interface { get; init; }

    /// <summary>A recorder beside the player, timed by a marker; null where the interface does both and has a loopback.</summary>
    public PlannedRecorder? Recorder { get; init; }

    public required PlannedNoise Noise { get; init; }

    public required IReadOnlyList<PlannedSource> Sources { get; init; }

    public required IReadOnlyList<PlannedSeat> Seats { get; init; }

    public required IReadOnlyList<PlannedTake> Takes { get; init; }
}
