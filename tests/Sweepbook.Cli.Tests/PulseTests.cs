// SPDX-License-Identifier: MIT
using Xunit;

namespace Sweepbook.Cli.Tests;

public sealed class PulseTests
{
    private static readonly TimeSpan LongestGap = TimeSpan.FromSeconds(2);   // the promise of the command line
    private readonly HandClock _clock = new();
    private readonly List<(TimeSpan At, string Line)> _said = [];

    [Fact]
    public void Work_that_says_nothing_is_never_silent_for_more_than_two_seconds()
    {
        using (var pulse = new Pulse(line => _said.Add((_clock.Now, line)), _clock))
        {
            pulse.Report("Take 3 of 16");
            _clock.Advance(TimeSpan.FromSeconds(20));
        }
        Assert.Equal("Take 3 of 16", _said[0].Line);
        Assert.All(_said.Zip(_said.Skip(1)), pair => Assert.True(pair.Second.At - pair.First.At <= LongestGap));
        Assert.True(TimeSpan.FromSeconds(20) - _said[^1].At <= LongestGap);
        Assert.All(_said.Skip(1), entry => Assert.StartsWith("Take 3 of 16 … ", entry.Line));
    }

    [Fact]
    public void A_line_that_was_cut_short_gets_no_second_ellipsis()
    {
        using var pulse = new Pulse(line => _said.Add((_clock.Now, line)), _clock);
        pulse.Report("Which part of this…");
        _clock.Advance(TimeSpan.FromSeconds(2));
        Assert.Matches("^Which part of this … [0-9]+ s$", _said[^1].Line);
    }

    [Fact]
    public void Work_that_speaks_often_is_not_interrupted()
    {
        using var pulse = new Pulse(line => _said.Add((_clock.Now, line)), _clock);
        for (var step = 0; step < 10; step++)
        {
            pulse.Report($"Step {step}");
            _clock.Advance(TimeSpan.FromSeconds(1));
        }
        Assert.Equal(10, _said.Count);
    }

    [Fact]
    public void Nothing_is_said_once_the_work_is_done()
    {
        new Pulse(line => _said.Add((_clock.Now, line)), _clock).Dispose();
        _clock.Advance(TimeSpan.FromSeconds(10));
        Assert.Empty(_said);
    }

    /// <summary>A clock that a test moves by hand.</summary>
    private sealed class HandClock : TimeProvider
    {
        private readonly List<HandTimer> _timers = [];

        public TimeSpan Now { get; private set; }

        public override long TimestampFrequency => TimeSpan.TicksPerSecond;

        public override long GetTimestamp() => Now.Ticks;

        public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period)
        {
            var timer = new HandTimer(callback, state, Now + dueTime, period);
            _timers.Add(timer);
            return timer;
        }

        public void Advance(TimeSpan by)
        {
            var end = Now + by;
            while (_timers.Where(timer => timer.Due <= end).MinBy(timer => timer.Due) is { } next)
            {
                Now = next.Due;
                next.Fire();
            }
            Now = end;
        }
    }

    private sealed class HandTimer(TimerCallback callback, object? state, TimeSpan due, TimeSpan period) : ITimer
    {
        public TimeSpan Due { get; private set; } = due;

        public void Fire()
        {
            Due += period;
            callback(state);
        }

        public bool Change(TimeSpan dueTime, TimeSpan period) => false;

        public void Dispose() => Due = TimeSpan.MaxValue;

        public ValueTask DisposeAsync()
        {
            Dispose();
            return ValueTask.CompletedTask;
        }
    }
}
