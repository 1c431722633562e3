// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Globalization;
using System.Text;

namespace Sweepbook.Notebook;

/// <summary>What an exported notebook stands on when it runs as a program of one file: its folder, its values from outside, and how it shows what its cells show.</summary>
/// <remarks>Works without a notebook kernel; a program of its own that calls nothing here may use figures and tables all the same. Own convention.</remarks>
public static class NotebookProgram
{
    private const int Failed = 1;
    private const int UsedWrongly = 2;

    private static readonly Dictionary<string, string> _given = new(StringComparer.Ordinal);
    private static int _cell;
    private static int _announced;

    /// <summary>Called once, first: numbers are read and written in the invariant culture, and paths start at the notebook's folder.</summary>
    /// <param name="arguments">The arguments of the program, <c>name=value</c> each.</param>
    /// <param name="notebookFolder">The folder of the notebook, absolute or seen from the folder of the program's source file.</param>
    /// <param name="names">Names that may be given a value; none where the notebook takes no values.</param>
    /// <remarks>An unknown name, or a folder that is not there, ends the program with exit code 2 and one line on standard error. An exception in a cell ends it with exit code 1.</remarks>
    public static void Begin(string[] arguments, string notebookFolder, params string[] names)
    {
        ArgumentNullException.ThrowIfNull(arguments);
        CultureInfo.DefaultThreadCurrentCulture = CultureInfo.CurrentCulture = CultureInfo.InvariantCulture;
        CultureInfo.DefaultThreadCurrentUICulture = CultureInfo.CurrentUICulture = CultureInfo.InvariantCulture;
        if (Console.IsOutputRedirected || !OperatingSystem.IsWindows()) Console.SetOut(new StreamWriter(Console.OpenStandardOutput(), new UTF8Encoding(false)) { AutoFlush = true, NewLine = "\n" });
        else Console.OutputEncoding = new UTF8Encoding(false);
        AppDomain.CurrentDomain.UnhandledException += (_, raised) => Stop(raised.ExceptionObject as Exception);
        foreach (var argument in arguments)
        {
            var at = argument.IndexOf('=');
            if (at < 1 || !names.Contains(argument[..at])) EndWith(UsedWrongly, $"`{argument}` is not understood. {(names.Length == 0 ? "This notebook takes no values." : $"Write name=value, with one of these names: {string.Join(", ", names)}.")}");
            _given[argument[..at]] = argument[(at + 1)..];
        }
        var source = AppContext.GetData("EntryPointFileDirectoryPath") as string ?? Directory.GetCurrentDirectory();   // set by `dotnet run FILE.cs`
        var folder = Path.GetFullPath(Path.Combine(source, notebookFolder));
        if (!Directory.Exists(folder)) EndWith(UsedWrongly, $"{folder}: the folder of the notebook is not there. Export the notebook again, or put its path into the call of Begin.");
        Directory.SetCurrentDirectory(folder);
    }

    /// <summary>The value given on the command line, or the notebook's own.</summary>
    /// <typeparam name="T">Text, a whole number, <c>double</c> or <c>bool</c>.</typeparam>
    /// <param name="name">Name of the variable.</param>
    /// <param name="usual">The notebook's own value.</param>
    /// <returns>The value given as <c>name=value</c>, read in the invariant culture; <paramref name="usual"/> where none was.</returns>
    /// <remarks>A value of the wrong kind ends the program with exit code 2 and one line on standard error.</remarks>
    public static T Value<T>(string name, T usual)
    {
        if (!_given.TryGetValue(name, out var text)) return usual;
        if (!TryRead<T>(text, out var value)) EndWith(UsedWrongly, $"`{text}` is no value for {name}. Write it like the notebook's own: {name}={string.Create(CultureInfo.InvariantCulture, $"{usual}")}.");
        return value!;
    }

    internal static bool TryRead<T>(string text, out T? value)
    {
        try
        {
            // a comma separates no thousands here: 1,5 is refused and not read as 15
            value = (T)(typeof(T) == typeof(double) ? double.Parse(text, NumberStyles.Float, CultureInfo.InvariantCulture) : Convert.ChangeType(text, typeof(T), CultureInfo.InvariantCulture));
            return true;
        }
        catch (Exception refused) when (refused is FormatException or InvalidCastException or OverflowException)
        {
            value = default;
            return false;
        }
    }

    /// <summary>A cell begins; what it shows stands under its number.</summary>
    /// <param name="number">The code cell, counted from 1.</param>
    public static void Cell(int number) => _cell = number;

    /// <summary>Writes a value to standard output as text, under the number of its cell.</summary>
    /// <param name="value">A figure, a table, findings, a number: anything a cell may show.</param>
    public static void Show(object? value)
    {
        var text = ShownText.Of(value);
        if (text.Length == 0) return;   // no findings, no figures: nothing to show
        if (_announced != _cell) Console.WriteLine($"{(_announced > 0 ? "\n" : "")}[cell {_cell.ToString(CultureInfo.InvariantCulture)}]");
        _announced = _cell;
        Console.WriteLine(text);
    }

    /// <summary>The same as <see cref="Show"/>, under the name that it has in a notebook.</summary>
    /// <param name="value">Anything a cell may show.</param>
    public static void display(object? value) => Show(value);

    private static void Stop(Exception? thrown)
    {
        var line = thrown is null ? 0 : new StackTrace(thrown, true).GetFrames().Select(frame => frame.GetFileLineNumber()).LastOrDefault(number => number > 0);
        EndWith(Failed, $"Cell {_cell.ToString(CultureInfo.InvariantCulture)}{(line > 0 ? $" (line {line.ToString(CultureInfo.InvariantCulture)} of this file)" : "")}: {thrown?.Message}");
    }

    private static void EndWith(int exitCode, string line)
    {
        Console.Out.Flush();
        Console.Error.WriteLine(line);
        Environment.Exit(exitCode);
    }
}
