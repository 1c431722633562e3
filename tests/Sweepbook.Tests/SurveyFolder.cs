// SPDX-License-Identifier: MIT
namespace Sweepbook.Tests;

/// <summary>A temporary folder that is gone after the test.</summary>
internal sealed class SurveyFolder : IDisposable
{
    public string Path { get; } = Directory.CreateTempSubdirectory("sweepbook-survey-").FullName;

    public string At(string relative) => System.IO.Path.Combine([Path, .. relative.Split('/', StringSplitOptions.RemoveEmptyEntries)]);

    public void Put(string relative, string text)
    {
        Directory.CreateDirectory(System.IO.Path.GetDirectoryName(At(relative))!);
        File.WriteAllText(At(relative), text);
    }

    /// <summary>Everything in a folder, sub-folders included, relative and in order.</summary>
    public string[] Files(string relative) =>
        [.. Directory.EnumerateFiles(At(relative), "*", SearchOption.AllDirectories).Select(file => System.IO.Path.GetRelativePath(At(relative), file).Replace('\\', '/')).Order(StringComparer.Ordinal)];

    public void Dispose() => Directory.Delete(Path, true);
}
