// SPDX-License-Identifier: MIT
namespace Sweepbook.Files;

/// <summary>Opens a file of the user for reading, and turns what the system says about it into a <see cref="DataFault"/>.</summary>
/// <remarks>The length is looked at before the file is opened, so that a named pipe is refused as empty and never waited for. Own convention.</remarks>
internal static class InputFile
{
    private const int BufferBytes = 1 << 16;

    /// <summary>Opens <paramref name="path"/>, hands it to <paramref name="read"/> and closes it.</summary>
    /// <param name="path">Where the file is.</param>
    /// <param name="shownAs">What the user calls it.</param>
    /// <param name="read">Reads the open file; system errors inside it become faults too.</param>
    /// <exception cref="DataFault">The file is missing, empty, a folder, not permitted or cannot be read to its end.</exception>
    public static T Read<T>(string path, string shownAs, Func<Stream, T> read)
    {
        try
        {
            var info = new FileInfo(path);
            if (!info.Exists)
                throw Directory.Exists(path)
                    ? new DataFault(shownAs, null, "this is a folder, and a file was expected", "Name the file inside it.")
                    : new DataFault(shownAs, null, "there is no such file", "Check the name and the folder; capitals count on some systems.");
            if (info.Length == 0)
                throw new DataFault(shownAs, null, "the file is empty (0 bytes)", "Copy it again from where it came, or make it again.");
            using var stream = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read, BufferBytes);
            return read(stream);
        }
        catch (UnauthorizedAccessException refused)
        {
            throw new DataFault(shownAs, null, "the system does not permit reading it", "Give yourself the right to read the file.", refused);
        }
        catch (IOException broken)
        {
            throw Unreadable(shownAs, broken);
        }
    }

    /// <summary>The fault for a file that stopped answering half way.</summary>
    public static DataFault Unreadable(string shownAs, IOException broken) =>
        new(shownAs, null, $"it could not be read to its end ({broken.Message.TrimEnd('.')})",
            "Check the disk or the memory card, close programs that are writing the file, and copy it again.", broken);
}
