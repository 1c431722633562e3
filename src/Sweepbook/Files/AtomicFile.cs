// SPDX-License-Identifier: MIT
namespace Sweepbook.Files;

/// <summary>A file is written whole or not at all: to a temporary name beside its place, brought to the disk, then renamed.</summary>
/// <remarks>
/// Source: POSIX.1-2017, rename(): the new name refers at every moment to the old file or to the new one. Misleads on network shares that do not keep that promise.
/// </remarks>
public static class AtomicFile
{
    private const int BufferBytes = 1 << 16;

    /// <summary>Writes a file, in the place of an older one if there is one.</summary>
    /// <param name="path">Where it goes; missing folders are made.</param>
    /// <param name="write">Writes the content to the stream that it is given.</param>
    /// <exception cref="DataFault">The system refuses: no right, disk full, a folder in the way. The old file is whole.</exception>
    /// <remarks>Whatever <paramref name="write"/> throws is thrown on, and the old file is whole then too.</remarks>
    public static void Write(string path, Action<Stream> write) => Put(path, write, replace: true);

    /// <summary>Writes a new file; an existing one is never overwritten.</summary>
    /// <param name="path">Where it goes; missing folders are made.</param>
    /// <param name="write">Writes the content to the stream that it is given.</param>
    /// <exception cref="DataFault">The file exists already, or the system refuses.</exception>
    /// <remarks>Whatever <paramref name="write"/> throws is thrown on, and nothing is left behind.</remarks>
    public static void Create(string path, Action<Stream> write) => Put(path, write, replace: false);

    private static void Put(string path, Action<Stream> write, bool replace)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        ArgumentNullException.ThrowIfNull(write);
        var target = Path.GetFullPath(path);
        if (Path.EndsInDirectorySeparator(target) || Directory.Exists(target))
            throw new DataFault(path, null, "this is a folder, and a file is to be written here", "Name a file inside it.");
        if (!replace && File.Exists(target)) throw AlreadyThere(path);
        OutputFault.MakeFolder(Path.GetDirectoryName(target)!, Path.GetDirectoryName(path) is { Length: > 0 } folder ? folder : path);
        var part = Leftovers.NewStem(target) + Leftovers.Part;
        try
        {
            Leftovers.ClearFiles(target);
            using (var stream = new FileStream(part, FileMode.CreateNew, FileAccess.ReadWrite, FileShare.None, BufferBytes))
            {
                write(stream);
                stream.Flush(flushToDisk: true);
            }
            File.Move(part, target, replace);
        }
        catch (Exception thrown)
        {
            Leftovers.TryDelete(part);
            if (!replace && thrown is IOException && File.Exists(target)) throw AlreadyThere(path);
            if (OutputFault.From(thrown, path) is { } fault) throw fault;
            throw;
        }
    }

    private static DataFault AlreadyThere(string path) =>
        new(path, null, "this file exists already and is not overwritten", "Choose another name, or move the old file away first.");
}
