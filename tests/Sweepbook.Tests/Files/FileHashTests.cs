// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Xunit;

namespace Sweepbook.Tests.Files;

public class FileHashTests
{
    // NIST, FIPS 180-4 example values: SHA-256 of the three bytes "abc".
    [Fact]
    public void The_hash_of_abc_is_the_published_one()
    {
        using var folder = new TemporaryFolder();
        Assert.Equal("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", FileHash.Sha256(folder.Put("a", "abc")));
    }

    [Fact]
    public void A_missing_file_is_a_fault() =>
        Assert.Equal("stimuli/full.wav: there is no such file. Check the name and the folder; capitals count on some systems.",
            Assert.Throws<DataFault>(() => FileHash.Sha256("/nowhere/full.wav", "stimuli/full.wav")).Message);
}
