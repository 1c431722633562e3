// SPDX-License-Identifier: MIT
namespace Sweepbook.Cli;

/// <summary>Passes on what is reported and, where nothing is, says before two seconds are over that the work goes on.</summary>
internal sealed class Pulse : IProgress<string>, IDisposable
{
    private static readonly TimeSpan LongestSilence = TimeSpan.FromSeconds(1.5);   // with one tick of the timer below two seconds
    private static readonly TimeSpan Tick = TimeSpan.FromSeconds(0.25);

    private readonly Lock _gate = new();
    private readonly Action<string> _say;
    private readonly TimeProvider _clock;
    private readonly ITimer _timer;
    private readonly long _start;
    private string _latest = "";
    private long _spoken;

    public Pulse(Action<string> say, TimeProvider clock)
    {
        (_say, _clock) = (say, clock);
        _start = _spoken = clock.GetTimestamp();
        _timer = clock.CreateTimer(_ => Beat(), null, Tick, Tick);
    }

    /// <inheritdoc/>
    public void Report(string value)
    {
        lock (_gate) Speak(_latest = value);
    }

    public void Dispose() => _timer.Dispose();

    private void Beat()
    {
        lock (_gate)
            if (_clock.GetElapsedTime(_spoken) >= LongestSilence) Speak(FormattableString.Invariant($"{_latest.TrimEnd('…')} … {Math.Floor(_clock.GetElapsedTime(_start).TotalSeconds)} s"));
    }

    private void Speak(string line)
    {
        _spoken = _clock.GetTimestamp();
        _say(line);
    }
}
