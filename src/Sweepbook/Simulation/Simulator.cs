// SPDX-License-Identifier: MIT
using System.Runtime.ExceptionServices;
using System.Text;
using Sweepbook.Files;

namespace Sweepbook.Simulation;

/// <summary>
/// Writes an invented survey: <c>survey.toml</c>, stimulus, microphone calibrations, recordings of a calibrator where the plan has one, and takes (24-bit WAV, channel 1
/// microphone, channel 2 loopback; one channel only with a marker, on a clock of its own, and from a microphone without a loopback).
/// </summary>
/// <remarks>
/// The sound: crossover, non-linear motor and box of the source; damped modes below the planned crossover and image sources above; vent and resonance of
/// the microphone; noise, hum and a random latency of the interface. A vented box, close up and in the open, by the circuit of its parts. Everything is summed directly, without the transform that the analysis uses.
/// Misleads whoever takes it for a room: walls are rigid but lossy, the room is empty, sources are points, and nothing moves between two takes but a
/// microphone that is set up again, where the plan says so.
/// The same plan gives the same bytes on one machine, whatever the number of processors, and the same samples within one step of 24 bits on others.
/// Own model; the sources of its parts stand beside them.
/// </remarks>
public static class Simulator
{
    /// <summary>Simulates a plan into a new folder.</summary>
    /// <param name="plan">What to simulate.</param>
    /// <param name="folder">The survey folder to make. It must not exist yet, or be empty: takes are never overwritten.</param>
    /// <param name="progress">Told in a sentence when each take is done, in any order; null in a notebook: the cell shows it.</param>
    /// <param name="cancellation">Stops between takes; nothing is left behind then. In a notebook the stop button does the same.</param>
    /// <exception cref="DataFault">The folder holds files already, a file is in its place, or the disk refuses.</exception>
    /// <exception cref="OperationCanceledException">It was stopped; the message says after how many takes.</exception>
    /// <remarks>The files appear together, when the last one is complete. Own convention; it needs no source.</remarks>
    public static void Write(SimulationPlan plan, string folder, IProgress<string>? progress = null, CancellationToken cancellation = default)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentException.ThrowIfNullOrEmpty(folder);
        var target = Path.TrimEndingDirectorySeparator(Path.GetFullPath(folder));
        if (File.Exists(target)) throw new DataFault(folder, null, "a file of that name is in the way", "Name another folder.");
        if (Directory.Exists(target) && Directory.EnumerateFileSystemEntries(target).Any())
            throw new DataFault(folder, null, "the folder already holds files, and takes are never overwritten", "Name a new folder, or delete this one first.");
        var parent = Path.GetDirectoryName(target) ?? throw new DataFault(folder, null, "this is the root of a disk", "Name a folder inside it.");
        var staging = Path.Combine(parent, $".{Path.GetFileName(target)}.{Guid.NewGuid():N}");
        using var watch = WorkWatch.Of(progress, cancellation);
        try
        {
            Directory.CreateDirectory(staging);
            Fill(plan.Survey, staging, progress ?? watch, watch?.Cancellation ?? cancellation);
            if (Directory.Exists(target)) Directory.Delete(target);
            Directory.Move(staging, target);
        }
        catch (DataFault fault) when (fault.File.Contains(staging, StringComparison.Ordinal))
        {
            throw new DataFault(fault.File.Replace(staging, folder, StringComparison.Ordinal), fault.Line, fault.Problem, fault.Remedy, fault);
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new DataFault(folder, null, "the survey cannot be written", $"The system says: {failure.Message}", failure);
        }
        finally
        {
            if (Directory.Exists(staging)) Directory.Delete(staging, recursive: true);
        }
    }

    private static void Fill(PlannedSurvey plan, string folder, IProgress<string>? progress, CancellationToken cancellation)
    {
        var system = new SimulatedSystem(plan);
        Directory.CreateDirectory(Path.Combine(folder, "takes"));
        Text(folder, "survey.toml", SurveyText.For(plan));
        foreach (var microphone in plan.Microphones.Where(microphone => microphone.IsCalibrated))
            Text(folder, system.ModelOf(microphone).CalibrationFile, system.ModelOf(microphone).CalibrationText());
        if (plan.Calibrator is not null)
            foreach (var microphone in plan.Microphones)
                WavFile.Write(Path.Combine(folder, CalibratorTone.FileOf(microphone)), CalibratorTone.Record(system, microphone), WavEncoding.Integer24);
        system.Stimulus.Write(Path.Combine(folder, "stimuli", $"{plan.StimulusId}.toml"));

        var done = 0;
        var options = new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = Environment.ProcessorCount };
        try
        {
            Parallel.ForEach(plan.Takes, options, take =>
            {
                var path = Path.Combine(folder, take.File);
                WavFile.Write(path, system.Make(take).ToRecording(), WavEncoding.Integer24);
                Damage.ToFile(take.Damage, path);
                progress?.Report($"Take {Interlocked.Increment(ref done)} of {plan.Takes.Count}: {take.Source.Id} at {take.Seat.Id}{(take.Microphone.IsListed ? $", {take.Microphone.Id}" : "")}");
            });
        }
        catch (OperationCanceledException stopped)
        {
            throw new WorkStopped(done, plan.Takes.Count, stopped.CancellationToken);
        }
        catch (AggregateException several) when (several.InnerExceptions.Count > 0)
        {
            ExceptionDispatchInfo.Throw(several.InnerExceptions[0]);
        }
    }

    private static void Text(string folder, string file, string text)
    {
        var path = Path.Combine(folder, file);
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        File.WriteAllText(path, text, new UTF8Encoding(encoderShouldEmitUTF8Identifier: false));
    }
}
