// SPDX-License-Identifier: MIT
namespace Sweepbook.Files;

/// <summary>Somebody who watches long work: is told what is being done, and may stop it. Disposed when the work ends.</summary>
internal abstract class WorkWatch : IProgress<string>, IDisposable
{
    /// <summary>How a host that runs cells (a notebook) watches work that was started without a progress of its own; null elsewhere. Gives null where no cell runs.</summary>
    public static Func<WorkWatch?>? Start { get; set; }

    /// <summary>The watch of the host, for work that was given neither a progress nor a cancellation of its own; null for all other work.</summary>
    public static WorkWatch? Of(IProgress<string>? progress, CancellationToken cancellation) => progress is null && !cancellation.CanBeCanceled ? Start?.Invoke() : null;

    public abstract CancellationToken Cancellation { get; }

    public abstract void Report(string value);

    public abstract void Dispose();
}

/// <summary>Long work was stopped. A cell shows its sentence alone: where in the program it was says nothing to who stopped it.</summary>
internal sealed class WorkStopped(int finished, int takes, CancellationToken cancellation) : OperationCanceledException($"Interrupted after {finished} of {takes} takes.", cancellation)
{
    public override string ToString() => Message;

    public override string? StackTrace => "";
}
