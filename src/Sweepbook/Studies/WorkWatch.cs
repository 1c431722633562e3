// SPDX-License-Identifier: MIT
namespace Sweepbook.Studies;

/// <summary>Somebody who watches long work: is told what is being done, and may stop it. Disposed when the work ends.</summary>
internal abstract class WorkWatch : IProgress<string>, IDisposable
{
    /// <summary>How a host that runs cells (a notebook) watches work that was started without a progress of its own; null elsewhere. Gives null where no cell runs.</summary>
    public static Func<WorkWatch?>? Start { get; set; }

    public abstract CancellationToken Cancellation { get; }

    public abstract void Report(string value);

    public abstract void Dispose();
}

/// <summary>Long work was stopped. A cell shows its sentence alone: where in the program it was says nothing to who stopped it.</summary>
internal sealed class WorkStopped(string message, CancellationToken cancellation) : OperationCanceledException(message, cancellation)
{
    public override string ToString() => Message;

    public override string? StackTrace => "";
}
