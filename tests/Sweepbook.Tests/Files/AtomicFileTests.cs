// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Xunit;

namespace Sweepbook.Tests.Files;

public class AtomicFileTests
{
    private const int NoSpace = 28;   // ENOSPC

    [Fact]
    public void A_file_is_written_with_the_folders_it_needs()
    {
        using var folder = new TemporaryFolder();
        AtomicFile.Write(folder["new/deep/a.txt"], stream => stream.Write("hello"u8));
        Assert.Equal("hello", File.ReadAllText(folder["new/deep/a.txt"]));
        Assert.Equal(["a.txt"], Directory.GetFileSystemEntries(folder["new/deep"]).Select(Path.GetFileName));
    }

    [Fact]
    public void While_it_is_written_the_old_file_stands()
    {
        using var folder = new TemporaryFolder();
        var path = folder.Put("a.txt", "old");
        AtomicFile.Write(path, stream =>
        {
            stream.Write("new"u8);
            stream.Flush();
            Assert.Equal("old", File.ReadAllText(path));
        });
        Assert.Equal("new", File.ReadAllText(path));
        Assert.Equal(["a.txt"], folder.Names);
    }

    [Fact]
    public void A_disk_that_fills_up_half_way_leaves_the_old_file_whole()
    {
        using var folder = new TemporaryFolder();
        var path = folder.Put("a.csv", "old");
        var fault = Assert.Throws<DataFault>(() => AtomicFile.Write(path, stream =>
        {
            stream.Write(new byte[200_000]);
            throw new IOException("No space left on device", NoSpace);
        }));
        Assert.Equal($"{path}: the disk is full, so it was not written. Make room, or write to another disk; what stood there before is untouched.", fault.Message);
        Assert.Equal("old", File.ReadAllText(path));
        Assert.Equal(["a.csv"], folder.Names);
    }

    [Fact]
    public void The_systems_own_word_for_a_full_disk_is_understood()
    {
        if (!File.Exists("/dev/full")) return;   // only Linux has a disk that is always full
        var thrown = Assert.ThrowsAny<Exception>(() =>
        {
            using var full = new FileStream("/dev/full", FileMode.Open, FileAccess.Write, FileShare.ReadWrite, bufferSize: 0);
            full.Write(new byte[10]);
        });
        Assert.Equal("the disk is full, so it was not written", OutputFault.From(thrown, "a.csv")?.Problem);
    }

    [Theory]
    [InlineData(typeof(IOException), "it could not be written (")]
    [InlineData(typeof(UnauthorizedAccessException), "the system does not permit writing there")]
    public void What_the_system_refuses_becomes_a_fault(Type exception, string problem)
    {
        using var folder = new TemporaryFolder();
        var thrown = (Exception)Activator.CreateInstance(exception)!;
        var fault = Assert.Throws<DataFault>(() => AtomicFile.Write(folder["a.txt"], _ => throw thrown));
        Assert.StartsWith(problem, fault.Problem, StringComparison.Ordinal);
        Assert.Same(thrown, fault.InnerException);
        Assert.Empty(folder.Names);
    }

    [Fact]
    public void What_the_writer_throws_passes_through_and_leaves_nothing()
    {
        using var folder = new TemporaryFolder();
        Assert.Throws<OperationCanceledException>(() => AtomicFile.Write(folder["a.txt"], _ => throw new OperationCanceledException()));
        Assert.Empty(folder.Names);
    }

    [Fact]
    public void A_file_that_appears_meanwhile_is_not_overwritten_by_create()
    {
        using var folder = new TemporaryFolder();
        var fault = Assert.Throws<DataFault>(() => AtomicFile.Create(folder["a.txt"], _ => folder.Put("a.txt", "theirs")));
        Assert.Equal("this file exists already and is not overwritten", fault.Problem);
        Assert.Equal("theirs", File.ReadAllText(folder["a.txt"]));
        Assert.Equal(["a.txt"], folder.Names);
    }

    [Fact]
    public void A_folder_in_the_way_is_refused()
    {
        using var folder = new TemporaryFolder();
        Directory.CreateDirectory(folder["a.txt"]);
        var fault = Assert.Throws<DataFault>(() => AtomicFile.Write(folder["a.txt"], _ => { }));
        Assert.Equal($"{folder["a.txt"]}: this is a folder, and a file is to be written here. Name a file inside it.", fault.Message);
    }

    [Fact]
    public void A_file_where_its_folder_should_be_is_refused()
    {
        using var folder = new TemporaryFolder();
        folder.Put("out", "mine");
        var fault = Assert.Throws<DataFault>(() => AtomicFile.Write(folder["out/a.txt"], _ => { }));
        Assert.Equal($"{folder["out"]}: this is a file, and a folder is needed here. Choose another folder, or move the file away.", fault.Message);
        Assert.Equal("mine", File.ReadAllText(folder["out"]));
    }

    [Fact]
    public void What_a_killed_run_left_is_cleared_and_what_a_living_one_holds_is_kept()
    {
        using var folder = new TemporaryFolder();
        var (dead, alive, other) = (Leftovers.NewStem(folder["a.txt"]) + ".part", Leftovers.NewStem(folder["a.txt"]) + ".part", Leftovers.NewStem(folder["b.txt"]) + ".part");
        File.WriteAllText(dead, "half");
        File.WriteAllText(other, "half of another file");
        using (new FileStream(alive, FileMode.CreateNew, FileAccess.ReadWrite, FileShare.None))
            AtomicFile.Write(folder["a.txt"], stream => stream.Write("whole"u8));
        Assert.Equal("whole", File.ReadAllText(folder["a.txt"]));
        Assert.Equal((false, true, true), (File.Exists(dead), File.Exists(alive), File.Exists(other)));
    }

    [Fact]
    public void A_name_may_be_as_long_as_the_system_allows()
    {
        using var folder = new TemporaryFolder();
        var name = new string('n', 251) + ".txt";   // 255 bytes is the usual limit
        AtomicFile.Write(folder[name], stream => stream.Write("x"u8));
        Assert.Equal([name], folder.Names);
    }
}
