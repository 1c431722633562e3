// SPDX-License-Identifier: MIT
namespace Sweepbook.Report;
internal static class AtomicFile
{
    public static void Write(string path, Action<Stream> write)
    {
        var temporary = path + ".part";
        using (var stream = File.Create(temporary)) write(stream);
        File.Move(temporary, path, overwrite: true);
    }
}
