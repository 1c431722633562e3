// SPDX-License-Identifier: MIT
using System.Collections.Concurrent;
using System.Numerics;
using Sweepbook.Files;
using Sweepbook.Quantities;

namespace Sweepbook.Simulation;

/// <summary>An invented survey before it is written: room, sources, seats, microphone, noise and what shall be damaged.</summary>
/// <remarks>
/// The keys of a plan are explained in the plans under <c>data-demo</c>. A plan may say <c>copy_of = "other.plan.toml"</c>: it then takes everything
/// from that plan but its own title, date, choice of takes and damage, and the takes it leaves whole are the same samples.
/// Own format; it needs no source.
/// </remarks>
public sealed class SimulationPlan
{
    private readonly ConcurrentDictionary<(string Source, string Seat), PlanTruth> _truths = new();

    internal SimulationPlan(PlannedSurvey survey) => Survey = survey;

    /// <summary>Title of the survey.</summary>
    public string Title => Survey.Title;

    /// <summary>Number of takes that will be written.</summary>
    public int TakeCount => Survey.Takes.Count;

    internal PlannedSurvey Survey { get; }

    /// <summary>The decay time over 60 dB that the plan asks for at a frequency: the truth that a simulated measurement should find.</summary>
    /// <param name="frequencyHz">Frequency in hertz, above zero.</param>
    /// <returns>Seconds; straight lines over log frequency between the planned ones, the first and the last held outside.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The frequency is not above zero and finite.</exception>
    /// <exception cref="InvalidOperationException">Every source is part of a box that plays in the open.</exception>
    /// <remarks>Misleads for a wide band, which mixes the decays inside it. Own format; it needs no source.</remarks>
    public double T60SecondsAt(double frequencyHz) => Survey.Room.Decay.Points.Count == 0
        ? throw new InvalidOperationException("Every source of this plan is part of a box that plays in the open: there is no decay.")
        : frequencyHz > 0 && double.IsFinite(frequencyHz) ? Survey.Room.Decay.T60SecondsAt(frequencyHz)
        : throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, "Must be in (0, ∞) Hz.");

    /// <summary>The response that a source truly has at a seat of the invented room, in closed form: what a study of the simulated takes should find, sums included.</summary>
    /// <param name="source">Id of the source.</param>
    /// <param name="seat">Id of the seat.</param>
    /// <param name="frequencyHz">Frequency in hertz, above zero and below half the sample rate.</param>
    /// <returns>Output over loopback, or over the digital signal in a plan without one; linear, from the moment the stimulus left.</returns>
    /// <exception cref="ArgumentException">The plan has no such source or seat; the message names those it has.</exception>
    /// <exception cref="ArgumentOutOfRangeException">The frequency is outside the interval.</exception>
    /// <remarks>
    /// Misleads as a phase: the phase of the microphone, which calibration files seldom state, is left out of it and stays in a study; in sums and differences at one microphone it cancels.
    /// Above some 200 Hz a study gives mean powers over neighbouring frequencies, and this one frequency alone. Source: the sums of modes and images that the simulation is made of.
    /// </remarks>
    public Complex ResponseAt(string source, string seat, double frequencyHz)
    {
        RequireInside(frequencyHz);
        return _truths.GetOrAdd((source, seat), key => new PlanTruth(Survey, key.Source, key.Seat)).At(frequencyHz);
    }

    /// <summary>By how much a microphone of the plan truly reads more than the reference, both with their calibration files applied: what a comparison should find.</summary>
    /// <param name="microphone">Id of the microphone.</param>
    /// <param name="frequencyHz">Frequency in hertz, above zero and below half the sample rate.</param>
    /// <returns>Decibels, sensitivities left out: near 0 where both are flat. Zero for the reference itself.</returns>
    /// <exception cref="ArgumentException">The plan has no such microphone; the message names those it has.</exception>
    /// <exception cref="ArgumentOutOfRangeException">The frequency is outside the interval.</exception>
    /// <remarks>
    /// Calibration files are held flat beyond their ends. A comparison that matches both over a middle band takes the mean of this over that band out again.
    /// Misleads for a band: it is one frequency alone. Source: the filters that the simulation is made of.
    /// </remarks>
    public double MicrophoneDeviationDb(string microphone, double frequencyHz)
    {
        var tested = Survey.Microphones.FirstOrDefault(item => item.Id == microphone)
            ?? throw new ArgumentException($"The plan has no microphone \"{microphone}\"; it has {string.Join(", ", Survey.Microphones.Select(item => item.Id))}.", nameof(microphone));
        var rate = Survey.Stimulus.SampleRateHz;
        RequireInside(frequencyHz);
        return new MicrophoneModel(tested, rate).LeftDbAt(frequencyHz) - new MicrophoneModel(Survey.Microphone, rate).LeftDbAt(frequencyHz);
    }

    /// <summary>The response that a box of the plan truly has: cone and port together, at 1 m on a wide wall (half space), without the time the sound takes.</summary>
    /// <param name="box">Id of the box.</param>
    /// <param name="frequencyHz">Frequency in hertz, above zero and below half the sample rate.</param>
    /// <returns>Output over loopback, linear and complex; a fourth-order high-pass.</returns>
    /// <exception cref="ArgumentException">The plan has no such box; the message names those it has.</exception>
    /// <exception cref="ArgumentOutOfRangeException">The frequency is outside the interval.</exception>
    /// <remarks>
    /// Misleads where somebody wants the box in the open: the step of its front is not in it. Source: the digital filters that the simulation plays, which come from the
    /// circuit of the box; see the class that makes them.
    /// </remarks>
    public Complex BoxResponseAt(string box, double frequencyHz)
    {
        var plan = Survey.Boxes.FirstOrDefault(item => item.Id == box)
            ?? throw new ArgumentException($"The plan has no box \"{box}\"; it has {(Survey.Boxes.Count == 0 ? "none" : string.Join(", ", Survey.Boxes.Select(item => item.Id)))}.", nameof(box));
        RequireInside(frequencyHz);
        var model = new BoxModel(plan, Survey.Stimulus.SampleRateHz);
        return model.Far(BoxPart.Whole).ResponseAt(frequencyHz) * (model.GainRatio * Decibels.ToAmplitudeRatio(Survey.Interface.InputGainDb - (Survey.Recorder is null ? Survey.Interface.LoopbackGainDb : 0)));
    }

    private void RequireInside(double frequencyHz)
    {
        var highestHz = Survey.Stimulus.SampleRateHz / 2.0;
        if (!(frequencyHz > 0 && frequencyHz < highestHz)) throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, FormattableString.Invariant($"Must be in (0, {highestHz}) Hz."));
    }

    /// <summary>Reads a plan.</summary>
    /// <param name="path">The TOML file.</param>
    /// <returns>The plan, every value checked.</returns>
    /// <exception cref="DataFault">Missing, not TOML, an unknown key, or a value that does not fit; with its line.</exception>
    /// <remarks>Nothing is simulated yet: see <see cref="Simulator"/>. Own format; it needs no source.</remarks>
    public static SimulationPlan Read(string path)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        return new(PlanReader.Read(path));
    }
}
