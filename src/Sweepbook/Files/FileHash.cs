// SPDX-License-Identifier: MIT
using System.Security.Cryptography;

namespace Sweepbook.Files;

/// <summary>Fingerprints of files, so that somebody else can tell that they have the same ones.</summary>
internal static class FileHash
{
    /// <summary>SHA-256 of the bytes of a file.</summary>
    /// <param name="path">Where it is.</param>
    /// <param name="shownAs">What the user calls it, for faults; the path where null.</param>
    /// <returns>64 lower-case hexadecimal digits.</returns>
    /// <exception cref="DataFault">The file is missing, empty or cannot be read.</exception>
    /// <remarks>Source: NIST FIPS 180-4 (2015).</remarks>
    public static string Sha256(string path, string? shownAs = null) =>
        InputFile.Read(path, shownAs ?? path, stream => Convert.ToHexStringLower(SHA256.HashData(stream)));
}
