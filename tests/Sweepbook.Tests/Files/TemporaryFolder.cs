// SPDX-License-Identifier: MIT
namespace Sweepbook.Tests.Files;

/// <summary>A folder that is gone after the test.</summary>
internal sealed class TemporaryFolder : IDisposable
{
    public TemporaryFolder() => Path = Directory.CreateTempSubdirectory("sweepbook-test-").FullName;

    public string Path { get; }

    public string this[string name] => System.IO.Path.Combine(Path, name);

    /// <summary>Names of everything in it, hidden ones too, sorted.</summary>
    public string[] Names => [.. Directory.EnumerateFileSystemEntries(Path).Select(entry => System.IO.Path.GetFileName(entry)).Order(StringComparer.Ordinal)];

    public string Put(string name, byte[] bytes)
    {
        File.WriteAllBytes(this[name], bytes);
        return this[name];
    }

    public string Put(string name, string text)
    {
        File.WriteAllText(this[name], text);
        return this[name];
    }

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
