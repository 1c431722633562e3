// SPDX-License-Identifier: MIT
using Spectre.Console;

namespace Sweepbook.Cli;

/// <summary>Where the command speaks: plain lines into a pipe or a file, a little more on a terminal.</summary>
internal sealed class Terminal
{
    private const int PlainWidth = 80;
    private const int WidestUseful = 110;

    private readonly IAnsiConsole _console = AnsiConsole.Create(new());
    private readonly Lock _gate = new();

    /// <summary>True where a person is watching and the screen understands more than plain text.</summary>
    public bool IsLive => !Console.IsOutputRedirected && _console.Profile.Capabilities.Ansi;

    /// <summary>Columns to write in.</summary>
    public int Width => Console.IsOutputRedirected ? PlainWidth : Math.Clamp(_console.Profile.Width, 40, WidestUseful);

    /// <summary>One line on standard output.</summary>
    public void Say(string line = "") => SayRaw(PlainWords.Of(line));

    private void SayRaw(string line)
    {
        lock (_gate) Console.Out.WriteLine(line);
    }

    /// <summary>A sentence on standard output, broken between words to the width.</summary>
    public void SayWrapped(string text, string first = "", string then = "")
    {
        foreach (var line in Wrapped.Lines(text, Width, first, then)) Say(line);
    }

    /// <summary>One line on standard error. Where that is closed or full, nobody hears it, and the exit code still tells.</summary>
    public void Complain(string line)
    {
        try
        {
            lock (_gate) Console.Error.WriteLine(PlainWords.Of(line));
        }
        catch (Exception unheard) when (unheard is IOException or UnauthorizedAccessException)
        {
            // there is no other place to say it
        }
    }

    /// <summary>A table of words; only the first column is broken where the screen is narrow, and no number is.</summary>
    public void Show(IReadOnlyList<string> headings, IEnumerable<IReadOnlyList<string>> rows)
    {
        var table = new Table { Border = TableBorder.Simple };
        foreach (var (place, heading) in headings.Index()) table.AddColumn(new TableColumn(Markup.Escape(heading)) { NoWrap = place > 0 });
        foreach (var row in rows) table.AddRow(row.Select(cell => new Text(PlainWords.Of(cell))));
        lock (_gate)
        {
            _console.Profile.Width = Width;
            _console.Write(table);
        }
    }

    /// <summary>A path on a line of its own; a link where the terminal can follow one, never broken.</summary>
    public void SayPath(string label, string path)
    {
        var full = Path.GetFullPath(path);
        var link = IsLive && _console.Profile.Capabilities.Links
            ? $"\e]8;;{new Uri(full).AbsoluteUri}\e\\{PlainWords.Of(path)}\e]8;;\e\\"
            : PlainWords.Of(path);
        SayRaw($"{PlainWords.Of(label)}{link}");
    }

    /// <summary>Runs something long and says at least every two seconds that it lives.</summary>
    public async Task<T> WatchAsync<T>(string first, Func<IProgress<string>, Task<T>> work)
    {
        if (IsLive)
            return await _console.Status().StartAsync(Markup.Escape(PlainWords.Of(first)), context => work(new Relay(text => context.Status(Markup.Escape(PlainWords.Of(text))))));

        using var pulse = new Pulse(Say, TimeProvider.System);
        pulse.Report(first);
        return await work(pulse);
    }

    /// <summary>Tells at once, on the caller's thread; Progress&lt;T&gt; would post to the pool and lose the order.</summary>
    private sealed class Relay(Action<string> tell) : IProgress<string>
    {
        public void Report(string value) => tell(value);
    }
}
