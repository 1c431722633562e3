// SPDX-License-Identifier: MIT
namespace Sweepbook.Files;

/// <summary>The data on disk cannot be used as it is: what is wrong, where, and what to do. Its message is one or two lines for a person.</summary>
/// <remarks>
/// Thrown for files only; a wrong argument is an <see cref="ArgumentException"/>, and a poor but readable measurement is a finding, not an exception.
/// Own convention (house style, doc comments); it needs no source.
/// </remarks>
public sealed class DataFault : Exception
{
    /// <summary>A fault in a file.</summary>
    /// <param name="file">Path as the user knows it, relative to the survey where there is one.</param>
    /// <param name="line">Line counted from 1, or null where lines mean nothing.</param>
    /// <param name="problem">What is wrong, without a full stop.</param>
    /// <param name="remedy">What to do about it, a sentence.</param>
    /// <param name="cause">The exception behind it, if any.</param>
    public DataFault(string file, int? line, string problem, string remedy, Exception? cause = null)
        : base($"{file}{(line is int n ? $":{n}" : "")}: {problem}. {remedy}", cause) =>
        (File, Line, Problem, Remedy) = (file, line, problem, remedy);

    /// <summary>The file, as the user knows it.</summary>
    public string File { get; }

    /// <summary>Line counted from 1, or null.</summary>
    public int? Line { get; }

    /// <summary>What is wrong.</summary>
    public string Problem { get; }

    /// <summary>What to do.</summary>
    public string Remedy { get; }
}
