// SPDX-License-Identifier: MIT
using Sweepbook.Files;

namespace Sweepbook.Surveys;

/// <summary>A file that the pattern names: as a table that stands behind its own [[take]], where it has one.</summary>
internal sealed record FoundTake(string File, string Path, TomlTable? Values, int? Repeat, string? Ambiguity);

/// <summary>Looks through the folder of the <c>takes</c> pattern.</summary>
internal sealed class TakeFinder(Survey survey, TomlTable root, List<string> notes, List<UnmatchedFile> unmatched)
{
    private const int MostFiles = 20_000;

    private readonly TakePattern? _pattern = PatternText(root) is { } text ? new(text, survey, root) : null;
    private readonly int _line = root.LineOf("takes");

    /// <summary>What a file's name says, whether the file exists or not; null where it matches no pattern.</summary>
    internal FoundTake? ByName(string path)
    {
        var file = Path.GetRelativePath(survey.Folder, path).Replace(Path.DirectorySeparatorChar, '/');
        return _pattern?.Match(file) switch
        {
            null or [] => null,
            [var name] => Taken(file, _line, name),
            var names => new(file, Inside(file, _line), null, null, $"{TomlTable.Shorten(file)} can be read as {Describe(names[0])} and as {Describe(names[1])}"),
        };
    }

    /// <summary>Every file on the disk that matches, sorted by name with numbers in their order; the rest goes into the notes.</summary>
    /// <param name="described">Paths that have a [[take]] of their own already.</param>
    internal IReadOnlyList<FoundTake> Find(IReadOnlySet<string> described)
    {
        if (_pattern is null) return [];
        var folder = _pattern.Folder.Length == 0 ? survey.Folder : PathInside.Resolve(survey.Folder, _pattern.Folder, Survey.FileName, _line);
        if (!Directory.Exists(folder))
        {
            notes.Add($"{Survey.FileName}:{_line}: the folder {TomlTable.Shorten(_pattern.Folder)} of the takes pattern does not exist yet.");
            return [];
        }
        var (found, others) = (new List<FoundTake>(), new List<string>());
        foreach (var path in Files(folder, _pattern.IsDeep, _line).Where(path => !described.Contains(path)))
        {
            var file = Path.GetRelativePath(survey.Folder, path).Replace(Path.DirectorySeparatorChar, '/');
            if (ByName(path) is { } take) found.Add(take);
            else if (_pattern.Folder.Length == 0) continue;   // the survey folder itself holds other things
            else if (path.EndsWith(".wav", StringComparison.OrdinalIgnoreCase)) unmatched.Add(new(file, Advice(file)));
            else others.Add(file);
        }
        unmatched.Sort((one, other) => string.CompareOrdinal(one.File, other.File));
        others.Sort(StringComparer.Ordinal);
        if (others.Count > 0) notes.Add(LeftOut(others));
        return [.. found.OrderBy(take => take.File, NumbersInOrder)];
    }

    private static string? PatternText(TomlTable root) =>
        root.Find("takes") is { Value: List<TomlTable> } tables
            ? throw new DataFault(root.File, tables.Line, "`takes` is the pattern of file names, not a table", "Write [[take]] for a take of its own.")
            : root.Text("takes");

    private string LeftOut(List<string> files)
    {
        const int MostNamed = 5;
        var named = string.Join(", ", files.Take(MostNamed).Select(TomlTable.Shorten)) + (files.Count > MostNamed ? ", …" : "");
        return $"{Survey.FileName}:{_line}: {(files.Count == 1 ? "1 file does not match the takes pattern and is" : $"{files.Count} files do not match the takes pattern and are")} left out: {named}";
    }

    private string Advice(string file) => NearestName.Find(file, _pattern!.Names(file)) is { } near
        ? $"The nearest name that would fit is {TomlTable.Shorten(near)}."
        : $"The pattern is {TomlTable.Shorten(_pattern.Text)}, with ids that {Survey.FileName} declares.";

    private FoundTake Taken(string file, int line, TakeName name)
    {
        var values = new TomlTable(Survey.FileName, line, $"the take {file}");
        values.Add("sources", line, name.Sources!.Select(id => new TomlValue("sources", line, id)).ToList());
        if (name.Seat is not null) values.Add("seat", line, name.Seat);
        if (name.Setting is not null) values.Add("setting", line, name.Setting);
        if (name.Microphone is not null) values.Add("microphone", line, name.Microphone);
        if (name.Stimulus is not null) values.Add("stimulus", line, name.Stimulus);
        return new(file, Inside(file, line), values, name.Repeat, null);
    }

    private static string Describe(TakeName name) =>
        string.Join(" / ", new[] { name.Sources is null ? null : string.Join('+', name.Sources), name.Seat, name.Setting, name.Microphone, name.Stimulus }.Where(part => part is not null));

    private string Inside(string file, int line) => PathInside.Resolve(survey.Folder, file, Survey.FileName, line);

    private List<string> Files(string folder, bool isDeep, int line)
    {
        const FileAttributes Link = FileAttributes.ReparsePoint;
        var files = new List<string>();
        try
        {
            var folders = new Queue<string>([folder]);
            while (folders.TryDequeue(out var current))
                foreach (var entry in new DirectoryInfo(current).EnumerateFileSystemInfos())
                {
                    if (entry.Name.StartsWith('.')) continue;
                    if (entry is FileInfo) files.Add(entry.FullName);
                    else if (isDeep && (entry.Attributes & Link) == 0) folders.Enqueue(entry.FullName);   // linked folders could run in circles
                    if (files.Count + folders.Count > MostFiles) throw root.Fault("takes", $"more than {MostFiles} files lie in the pattern's folder", "Give the takes a folder of their own.");
                }
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new DataFault(Survey.FileName, line, "the folder of the takes pattern cannot be read", $"The system says: {failure.Message.TrimEnd('.')}.", failure);
        }
        files.Sort(StringComparer.Ordinal);
        return files;
    }

    /// <summary>Ordinal, but runs of digits compare as numbers: take-2 before take-10.</summary>
    private static readonly Comparer<string> NumbersInOrder = Comparer<string>.Create((a, b) =>
    {
        var (i, j) = (0, 0);
        while (i < a.Length && j < b.Length)
        {
            if (char.IsAsciiDigit(a[i]) && char.IsAsciiDigit(b[j]))
            {
                var (left, right) = (Digits(a, ref i), Digits(b, ref j));
                var order = left.Length != right.Length ? left.Length - right.Length : string.CompareOrdinal(left, right);
                if (order != 0) return order;
            }
            else if (a[i] != b[j]) return a[i] - b[j];
            else (i, j) = (i + 1, j + 1);
        }
        var rest = (a.Length - i) - (b.Length - j);
        return rest != 0 ? rest : string.CompareOrdinal(a, b);
    });

    private static string Digits(string text, ref int at)
    {
        var start = at;
        while (at < text.Length && char.IsAsciiDigit(text[at])) at++;
        return text[start..at].TrimStart('0');
    }
}
