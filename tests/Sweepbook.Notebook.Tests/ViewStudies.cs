// SPDX-License-Identifier: MIT
using System.Text.RegularExpressions;
using Sweepbook.Studies;
using Sweepbook.Surveys;

namespace Sweepbook.Notebook.Tests;

/// <summary>Two takes of the demo survey, once with their loopback and once as if nobody knew their time zero. Public: it is a fixture.</summary>
public sealed class ViewStudies : IDisposable
{
    private static readonly string[] s_takes = ["sub-front_sofa-centre.wav", "main-left_sofa-centre.wav"];
    private readonly TestFolder _folder = new();
    private readonly Lazy<Study> _timed, _unknown;

    public ViewStudies() => (_timed, _unknown) = (new(() => Study.Of(Survey.Read(Folder("timed", text => text)))), new(() => Study.Of(Survey.Read(UnknownFolder))));

    internal Study Timed => _timed.Value;

    internal Study Unknown => _unknown.Value;

    internal string TimedFolder => Folder("timed", text => text);

    internal string UnknownFolder => Folder("unknown", text => text.Replace("reference_channel = 2\n", "", StringComparison.Ordinal).Replace("\"loopback\"", "\"unknown\"", StringComparison.Ordinal));

    public void Dispose() => _folder.Dispose();

    private string Folder(string name, Func<string, string> changed)
    {
        var (demo, here) = (Path.Combine(TestFolder.Repository, "data-demo", "orchard-row"), _folder.File(name));
        if (Directory.Exists(here)) return here;
        foreach (var part in new[] { "takes", "stimuli", "microphones" }) Directory.CreateDirectory(Path.Combine(here, part));
        foreach (var part in new[] { "stimuli", "microphones" })
            foreach (var file in Directory.GetFiles(Path.Combine(demo, part))) File.Copy(file, Path.Combine(here, part, Path.GetFileName(file)));
        foreach (var take in s_takes) File.Copy(Path.Combine(demo, "takes", take), Path.Combine(here, "takes", take));
        var entries = Regex.Split(File.ReadAllText(Path.Combine(demo, "survey.toml")), @"(?=^\[\[take\]\]$)", RegexOptions.Multiline);
        File.WriteAllText(Path.Combine(here, "survey.toml"), changed(entries[0] + string.Concat(entries[1..].Where(entry => s_takes.Any(take => entry.Contains($"/{take}\"", StringComparison.Ordinal))))));
        return here;
    }
}
