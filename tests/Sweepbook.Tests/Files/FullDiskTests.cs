// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Xunit;

namespace Sweepbook.Tests.Files;

/// <summary>
/// What happens when the disk fills up half way. Where SWEEPBOOK_SMALL_DISK names an empty file system of about 1 MB (in CI a size-limited tmpfs),
/// that one is filled for real; everywhere a stream that fails in the same way stands in for it.
/// </summary>
public class FullDiskTests
{
    private const string Variable = "SWEEPBOOK_SMALL_DISK";
    private const int TooMuch = 4 << 20;
    private const int NoSpace = 28;   // ENOSPC
    private const string Problem = "the disk is full, so it was not written";

    public static TheoryData<string> Disks => Environment.GetEnvironmentVariable(Variable) is { Length: > 0 } disk ? ["", disk] : [""];

    private static void Fill(Stream stream, string disk)
    {
        for (var written = 0; written < TooMuch; written += 4096)
        {
            if (disk.Length == 0 && written > TooMuch / 2) throw new IOException("No space left on device", NoSpace);
            stream.Write(new byte[4096]);
        }
    }

    private static string NewFolder(string disk) => Directory.CreateDirectory(Path.Combine(disk.Length > 0 ? disk : Path.GetTempPath(), Guid.NewGuid().ToString("N"))).FullName;

    private static string[] Names(string folder) => [.. Directory.EnumerateFileSystemEntries(folder).Select(entry => Path.GetFileName(entry))];

    [Theory, MemberData(nameof(Disks))]
    public void A_file_keeps_its_old_content(string disk)
    {
        var folder = NewFolder(disk);
        try
        {
            var path = Path.Combine(folder, "a.csv");
            File.WriteAllText(path, "old");
            Assert.Equal(Problem, Assert.Throws<DataFault>(() => AtomicFile.Write(path, stream => Fill(stream, disk))).Problem);
            Assert.Equal("old", File.ReadAllText(path));
            Assert.Equal(["a.csv"], Names(folder));
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    [Theory, MemberData(nameof(Disks))]
    public void A_folder_keeps_its_old_content(string disk)
    {
        var folder = NewFolder(disk);
        try
        {
            var path = Path.Combine(folder, "out");
            AtomicFolder.Replace(path, staging => File.WriteAllText(Path.Combine(staging, "a.csv"), "old"));
            var fault = Assert.Throws<DataFault>(() => AtomicFolder.Replace(path, staging =>
            {
                using var stream = File.Create(Path.Combine(staging, "a.csv"));
                Fill(stream, disk);
            }));
            Assert.Equal(Problem, fault.Problem);
            Assert.Equal("old", File.ReadAllText(Path.Combine(path, "a.csv")));
            Assert.Equal(["out"], Names(folder));
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }
}
