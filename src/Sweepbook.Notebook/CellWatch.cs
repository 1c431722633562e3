// SPDX-License-Identifier: MIT
using System.Diagnostics;
using Sweepbook.Files;

namespace Sweepbook.Notebook;

/// <summary>Shows in one line of a cell how far long work has come, and is gone when it ends: nothing of it stays in the notebook.</summary>
/// <param name="cancellation">The cell's: the stop button of the page.</param>
/// <param name="show">Shows a first line and gives the way to change it.</param>
internal sealed class CellWatch(CancellationTokenSource cancellation, Func<string, Action<string>> show) : WorkWatch
{
    private readonly Lock _gate = new();
    private readonly long _began = Stopwatch.GetTimestamp();
    private Action<string>? _change;
    private long _last;

    /// <summary>Short work needs no line.</summary>
    public TimeSpan Patience { get; init; } = TimeSpan.FromMilliseconds(400);

    /// <summary>A line that flickers cannot be read.</summary>
    public TimeSpan Pause { get; init; } = TimeSpan.FromMilliseconds(150);

    public override CancellationToken Cancellation => cancellation.Token;

    public override void Report(string value)
    {
        lock (_gate)
        {
            if (cancellation.IsCancellationRequested) return;
            if (_change is null)
            {
                if (Stopwatch.GetElapsedTime(_began) < Patience) return;
                _change = show(Line(value));
            }
            else if (Stopwatch.GetElapsedTime(_last) >= Pause) _change(Line(value));
            else return;
            _last = Stopwatch.GetTimestamp();
        }
    }

    public override void Dispose()
    {
        lock (_gate)
        {
            _change?.Invoke("");
            _change = null;
            cancellation.Dispose();
        }
    }

    private static string Line(string words) => $"<p class=\"sweepbook-progress\" role=\"status\" style=\"margin:0\">{PlotText.Html(words)}</p>";
}
