// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Xunit;

namespace Sweepbook.Tests.Files;

public class AtomicFolderTests
{
    private const int NoSpace = 28;   // ENOSPC

    private static void Make(string folder, string content) => AtomicFolder.Replace(folder, staging =>
    {
        Directory.CreateDirectory(Path.Combine(staging, "tables"));
        File.WriteAllText(Path.Combine(staging, "tables", "a.csv"), content);
    });

    [Fact]
    public void A_new_folder_appears_whole_with_a_note_of_what_was_written()
    {
        using var folder = new TemporaryFolder();
        AtomicFolder.Replace(folder["deep/out/"], staging =>
        {
            Assert.False(Directory.Exists(folder["deep/out"]));
            File.WriteAllText(Path.Combine(staging, "b.txt"), "b");
            File.WriteAllText(Path.Combine(staging, "a.txt"), "a");
        });
        Assert.Equal("a", File.ReadAllText(folder["deep/out/a.txt"]));
        Assert.Equal("These files were written by Sweepbook. The next run replaces them all; keep your own files elsewhere.\na.txt\nb.txt\n",
            File.ReadAllText(folder["deep/out/written-by-sweepbook.txt"]));
        Assert.Equal([folder["deep/out"]], Directory.GetFileSystemEntries(folder["deep"]));
    }

    [Fact]
    public void The_old_folder_stands_until_the_new_one_does_and_leaves_nothing_behind()
    {
        using var folder = new TemporaryFolder();
        Make(folder["out"], "old");
        AtomicFolder.Replace(folder["out"], staging =>
        {
            Assert.Equal("old", File.ReadAllText(folder["out/tables/a.csv"]));
            File.WriteAllText(Path.Combine(staging, "b.csv"), "new");
        });
        Assert.Equal(["b.csv", "written-by-sweepbook.txt"], Directory.GetFileSystemEntries(folder["out"]).Select(Path.GetFileName).Order());
        Assert.Equal(["out"], folder.Names);
    }

    [Fact]
    public void When_filling_fails_the_old_folder_is_whole()
    {
        using var folder = new TemporaryFolder();
        Make(folder["out"], "old");
        Assert.Throws<OperationCanceledException>(() => AtomicFolder.Replace(folder["out"], staging =>
        {
            File.WriteAllText(Path.Combine(staging, "half"), "");
            throw new OperationCanceledException();
        }));
        Assert.Equal("old", File.ReadAllText(folder["out/tables/a.csv"]));
        Assert.Equal(["out"], folder.Names);
    }

    [Fact]
    public async Task When_filling_fails_after_a_wait_the_old_folder_is_whole()
    {
        using var folder = new TemporaryFolder();
        Make(folder["out"], "old");
        var fault = await Assert.ThrowsAsync<DataFault>(() => AtomicFolder.ReplaceAsync(folder["out"], async staging =>
        {
            await File.WriteAllTextAsync(Path.Combine(staging, "half"), "");
            throw new IOException("No space left on device", NoSpace);
        }));
        Assert.Equal("the disk is full, so it was not written", fault.Problem);
        Assert.Equal("old", File.ReadAllText(folder["out/tables/a.csv"]));
        Assert.Equal(["out"], folder.Names);
    }

    [Fact]
    public void A_regular_file_in_the_way_is_refused_before_any_work()
    {
        using var folder = new TemporaryFolder();
        var path = folder.Put("out", "mine");
        var fault = Assert.Throws<DataFault>(() => AtomicFolder.Replace(path, _ => Assert.Fail("no work should be done")));
        Assert.Equal($"{path}: this is a file, and a folder is needed here. Choose another folder, or move the file away.", fault.Message);
        Assert.Equal("mine", File.ReadAllText(path));
        Assert.Throws<DataFault>(() => AtomicFolder.Replace(folder["out/deeper"], _ => Assert.Fail("no work should be done")));
        Assert.Equal(["out"], folder.Names);
    }

    [Fact]
    public void A_folder_of_somebody_else_is_never_replaced()
    {
        using var folder = new TemporaryFolder();
        Directory.CreateDirectory(folder["letters/old"]);
        folder.Put("letters/old/1.txt", "dear");
        var fault = Assert.Throws<DataFault>(() => AtomicFolder.Replace(folder["letters"], _ => Assert.Fail("no work should be done")));
        Assert.Equal($"{folder["letters"]}: this folder holds \"old/1.txt\", which Sweepbook did not write, so it is not replaced. "
            + "Choose another folder, or move your own files out of it.", fault.Message);
        Assert.Equal("dear", File.ReadAllText(folder["letters/old/1.txt"]));
    }

    [Fact]
    public void A_file_of_ones_own_among_the_results_is_not_lost()
    {
        using var folder = new TemporaryFolder();
        Make(folder["out"], "old");
        AtomicFolder.Replace(folder["out"], _ => { });   // nobody put anything there
        Make(folder["out"], "old");
        var fault = Assert.Throws<DataFault>(() => AtomicFolder.Replace(folder["out"], _ => folder.Put("out/my notes.txt", "ideas")));   // put there meanwhile
        Assert.StartsWith("this folder holds \"my notes.txt\"", fault.Problem, StringComparison.Ordinal);
        Assert.Equal("ideas", File.ReadAllText(folder["out/my notes.txt"]));
        Assert.Equal("old", File.ReadAllText(folder["out/tables/a.csv"]));
        Assert.Equal(["out"], folder.Names);
    }

    [Theory, InlineData(".DS_Store"), InlineData("Thumbs.db"), InlineData(".ipynb_checkpoints/a.ipynb")]
    public void What_systems_scatter_about_does_not_count(string name)
    {
        using var folder = new TemporaryFolder();
        Make(folder["out"], "old");
        Directory.CreateDirectory(Path.GetDirectoryName(folder["out/" + name])!);
        folder.Put("out/" + name, "");
        Make(folder["out"], "new");
        Assert.Equal("new", File.ReadAllText(folder["out/tables/a.csv"]));
    }

    [Fact]
    public void An_empty_folder_may_be_used()
    {
        using var folder = new TemporaryFolder();
        Directory.CreateDirectory(folder["out"]);
        Make(folder["out"], "new");
        Assert.Equal("new", File.ReadAllText(folder["out/tables/a.csv"]));
    }

    [Fact]
    public void A_run_killed_while_filling_is_cleared_away()
    {
        using var folder = new TemporaryFolder();
        var stem = Leftovers.NewStem(folder["out"]);
        folder.Put(Path.GetFileName(stem) + ".guard", "");
        Directory.CreateDirectory(stem + ".staging");
        Make(folder["out"], "new");
        Assert.Equal(["out"], folder.Names);
    }

    [Fact]
    public void A_run_killed_in_the_middle_of_the_swap_has_lost_nothing()
    {
        using var folder = new TemporaryFolder();
        Make(folder["out"], "old");
        var stem = Leftovers.NewStem(folder["out"]);
        folder.Put(Path.GetFileName(stem) + ".guard", "");
        Directory.Move(folder["out"], stem + ".old");
        Assert.Throws<OperationCanceledException>(() => AtomicFolder.Replace(folder["out"], _ => throw new OperationCanceledException()));
        Assert.Equal("old", File.ReadAllText(folder["out/tables/a.csv"]));
        Assert.Equal(["out"], folder.Names);
    }

    [Fact]
    public void A_run_that_still_lives_is_left_alone()
    {
        using var folder = new TemporaryFolder();
        var stem = Leftovers.NewStem(folder["out"]);
        Directory.CreateDirectory(stem + ".staging");
        using (new FileStream(stem + ".guard", FileMode.CreateNew, FileAccess.ReadWrite, FileShare.None)) Make(folder["out"], "new");
        Assert.True(Directory.Exists(stem + ".staging"));
    }

    [Fact]
    public void The_root_of_a_disk_is_refused()
    {
        var root = Path.GetPathRoot(Path.GetTempPath())!;
        var fault = Assert.Throws<DataFault>(() => AtomicFolder.Replace(root, _ => Assert.Fail("no work should be done")));
        Assert.Equal("this is the root of a disk and cannot be replaced", fault.Problem);
    }
}
