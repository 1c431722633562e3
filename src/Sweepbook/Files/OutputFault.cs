// SPDX-License-Identifier: MIT
namespace Sweepbook.Files;

/// <summary>Turns what the system says while a result is written into a <see cref="DataFault"/>.</summary>
/// <remarks>Codes: POSIX.1-2017, errno.h (ENOSPC, EROFS, EDQUOT as Linux numbers them); Microsoft, System Error Codes 39 and 112.</remarks>
internal static class OutputFault
{
    private const int NoSpace = 28;
    private const int OverQuota = 122;
    private const int ReadOnlyDisk = 30;
    private const int WindowsHandleDiskFull = unchecked((int)0x80070027);
    private const int WindowsDiskFull = unchecked((int)0x80070070);

    /// <summary>The fault for an exception of the system, or null where the exception is none of the system's.</summary>
    /// <param name="thrown">What was thrown while writing.</param>
    /// <param name="path">What was to be written, as the user knows it.</param>
    public static DataFault? From(Exception thrown, string path) => thrown switch
    {
        IOException { HResult: NoSpace or OverQuota or WindowsHandleDiskFull or WindowsDiskFull } =>
            new(path, null, "the disk is full, so it was not written", "Make room, or write to another disk; what stood there before is untouched.", thrown),
        IOException { HResult: ReadOnlyDisk } or UnauthorizedAccessException =>
            new(path, null, "the system does not permit writing there", "Choose another folder, or give yourself the right to write.", thrown),
        IOException =>
            new(path, null, $"it could not be written ({thrown.Message.TrimEnd('.')})", "Check the disk and the name; what stood there before is untouched.", thrown),
        _ => null,
    };

    /// <summary>Makes a folder with its parents.</summary>
    /// <exception cref="DataFault">A regular file is in the way, or the system refuses.</exception>
    public static void MakeFolder(string folder, string shownAs)
    {
        for (var part = folder; !string.IsNullOrEmpty(part); part = Path.GetDirectoryName(part))
            if (File.Exists(part)) throw FileInTheWay(part == folder ? shownAs : part);
        try
        {
            Directory.CreateDirectory(folder);
        }
        catch (Exception thrown) when (From(thrown, shownAs) is { } fault)
        {
            throw fault;
        }
    }

    /// <summary>The fault for a regular file where a folder should be.</summary>
    public static DataFault FileInTheWay(string path) =>
        new(path, null, "this is a file, and a folder is needed here", "Choose another folder, or move the file away.");
}
