// SPDX-License-Identifier: MIT
using System.Text;
using Sweepbook.Files;

namespace Sweepbook.Surveys;

/// <summary>Adds takes to a survey that somebody else wrote: behind its last line, everything before it untouched to the byte.</summary>
/// <remarks>
/// Takes come first, the description last, each under a temporary name until it is whole. Whatever goes wrong on the way, the takes written so far are removed and
/// the description stands as it was. Misleads where two programs add at the same moment: the later one refuses if it sees the other's work, which it looks for
/// immediately before it writes. Own convention; the rename is that of POSIX.1-2017, rename().
/// </remarks>
internal sealed class SurveyAddition
{
    private const int LargestBytes = TomlDocument.LargestBytes;

    private readonly string _path;
    private readonly byte[] _before;
    private readonly HashSet<string> _names = new(StringComparer.OrdinalIgnoreCase);   // two names that differ in capitals are one file on some systems

    private SurveyAddition(string folder, Survey survey, string path, byte[] before) => (Folder, Survey, _path, _before) = (folder, survey, path, before);

    /// <summary>The folder, absolute.</summary>
    internal string Folder { get; }

    /// <summary>The survey as it stands.</summary>
    internal Survey Survey { get; }

    /// <summary>Reads the survey and remembers its bytes.</summary>
    /// <exception cref="DataFault">It cannot be read, or is faulty as it stands.</exception>
    internal static SurveyAddition To(string folder)
    {
        var survey = Survey.Read(folder);
        var named = Path.Combine(survey.Folder, Survey.FileName);
        var path = new FileInfo(named).ResolveLinkTarget(returnFinalTarget: true)?.FullName ?? named;
        var addition = new SurveyAddition(survey.Folder, survey, path, Bytes(path));
        _ = addition.Read("");   // what was remembered is what was read
        return addition;
    }

    /// <summary>How the survey would read with one more take; nothing is written.</summary>
    /// <returns>The take, with what it inherits.</returns>
    /// <exception cref="DataFault">The entry does not fit into the survey.</exception>
    internal Take Draft(TakeEntry entry) =>
        Read(Text([entry])).Takes.First(take => take.File == entry.File && take.Line > Lines);

    /// <summary>A name for a take that no file and no other take has, formed as the survey forms its names.</summary>
    internal string NewName(IReadOnlyList<string> sources, string seat, string setting, string microphone, string stimulus)
    {
        var pattern = TomlDocument.Read(_path, Survey.FileName).Text("takes") ?? "takes/{source}_{seat}_{setting}_{repeat}.wav";
        var values = new (string Placeholder, string Value)[]
        {
            ("{source}", string.Join('+', sources)), ("{seat}", seat.Length > 0 ? seat : "near"), ("{setting}", setting), ("{microphone}", microphone), ("{stimulus}", stimulus),
        };
        var stem = values.Aggregate(pattern, (text, value) => text.Replace(value.Placeholder, value.Value, StringComparison.Ordinal));
        for (var repeat = 1; ; repeat++)
        {
            var name = stem.Contains("{repeat}", StringComparison.Ordinal)
                ? stem.Replace("{repeat}", Counted(repeat), StringComparison.Ordinal)
                : repeat == 1 ? stem : $"{Path.ChangeExtension(stem, null)}_{Counted(repeat)}{Path.GetExtension(stem)}";
            var path = PathInside.Resolve(Folder, name, Survey.FileName, null);
            if (Path.Exists(path) || Survey.Takes.Any(take => take.Path.Equals(path, StringComparison.OrdinalIgnoreCase)) || !_names.Add(path)) continue;
            return name;
        }
    }

    /// <summary>Writes takes and description, all or nothing.</summary>
    /// <param name="takes">Entries with what writes their recordings.</param>
    /// <param name="cancellation">Asked before each take; the last step is not interrupted.</param>
    /// <exception cref="DataFault">The survey changed meanwhile, a file is in the way, the disk refuses, or an entry does not fit.</exception>
    internal void Write(IReadOnlyList<(TakeEntry Entry, Action<Stream> Recording)> takes, CancellationToken cancellation)
    {
        var text = Text([.. takes.Select(take => take.Entry)]);
        _ = Read(text);
        var written = new List<string>();
        try
        {
            foreach (var (entry, recording) in takes)
            {
                cancellation.ThrowIfCancellationRequested();
                var path = PathInside.Resolve(Folder, entry.File, Survey.FileName, null);
                AtomicFile.Create(path, recording);
                written.Add(path);
            }
            cancellation.ThrowIfCancellationRequested();
            if (!Bytes(_path).AsSpan().SequenceEqual(_before))
                throw new DataFault(Survey.FileName, null, "it was changed while the recording was being searched", "Nothing was added. Save and close it elsewhere, then import again.");
            AtomicFile.Write(_path, stream =>
            {
                stream.Write(_before);
                stream.Write(Encoding.UTF8.GetBytes(text));
            });
        }
        catch
        {
            foreach (var path in written) Leftovers.TryDelete(path);
            throw;
        }
    }

    private int Lines => _before.AsSpan().Count((byte)'\n') + 1;

    private string Text(IReadOnlyList<TakeEntry> entries)
    {
        var text = new StringBuilder(_before.Length == 0 || _before[^1] == '\n' ? "" : "\n");
        foreach (var entry in entries) text.Append('\n').Append(entry.ToToml());
        return _before.AsSpan().IndexOf("\r\n"u8) >= 0 ? text.ToString().Replace("\n", "\r\n", StringComparison.Ordinal) : text.ToString();
    }

    private Survey Read(string addition)
    {
        var start = _before is [0xEF, 0xBB, 0xBF, ..] ? 3 : 0;
        try
        {
            return new SurveyReader(Folder, TomlDocument.Parse(Encoding.UTF8.GetString(_before.AsSpan(start)) + addition, Survey.FileName)).Read();
        }
        catch (DataFault fault) when (fault.Line is null || fault.Line > Lines)
        {
            throw new DataFault(Survey.FileName, null, $"the take that was to be added does not fit into it: {fault.Problem}", fault.Remedy, fault);
        }
    }

    private static byte[] Bytes(string path) => InputFile.Read(path, Survey.FileName, stream =>
    {
        if (stream.Length > LargestBytes) throw new DataFault(Survey.FileName, null, $"the file has {stream.Length} bytes; a description has at most {LargestBytes}", "Split the survey.");
        var bytes = new byte[stream.Length];
        stream.ReadExactly(bytes);
        return bytes;
    });

    private static string Counted(int number) => number.ToString(System.Globalization.CultureInfo.InvariantCulture);
}
