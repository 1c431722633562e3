// SPDX-License-Identifier: MIT
using System.Reflection;
using System.Runtime.Loader;

namespace Sweepbook.Bootstrap;

/// <summary>
/// Lets the chart and table libraries work in a notebook kernel that brings an older copy of the F# library with it.
/// The set-up script calls it before anything touches a figure or a table.
/// </summary>
/// <remarks>
/// The untouched Jupyter kernel carries FSharp.Core 10.0, the chart library was built for 10.1, and one of its own dependencies asks for a
/// still older one; the two copies then meet in one call and it fails with a MissingMethodException. Here the whole F# side is loaded once,
/// from the folder of this assembly, into a context of its own. Where the host already has a new enough copy nothing is done.
/// The project's own assemblies are not in the list: a second copy of them would have types of its own.
/// </remarks>
public static class Loader
{
    private static readonly string[] Owned =
        ["FSharp.Core", "Plotly.NET", "Plotly.NET.CSharp", "DynamicObj", "Giraffe.ViewEngine", "Fable.Core", "Deedle"];

    private static readonly Lock Gate = new();
    private static bool _done;

    /// <summary>Hooks the assembly loading of this process; the first call does the work, later ones do nothing.</summary>
    /// <exception cref="FileNotFoundException">The folder of this assembly lacks the F# library: build the project first.</exception>
    public static void Init()
    {
        lock (Gate)
        {
            if (_done) return;
            _done = true;
            var folder = Path.GetDirectoryName(typeof(Loader).Assembly.Location)!;
            var core = Path.Combine(folder, "FSharp.Core.dll");
            if (!File.Exists(core))
                throw new FileNotFoundException($"FSharp.Core.dll is not beside Sweepbook.Bootstrap.dll in {folder}. Build src/Sweepbook.Notebook once; it fills that folder.", core);
            if (HostVersion() >= AssemblyName.GetAssemblyName(core).Version) return;
            var own = new OwnContext(folder);
            AssemblyLoadContext.Default.Resolving += (_, name) => PathOf(folder, name) is null ? null : own.LoadFromAssemblyName(name);
        }
    }

    private static Version? HostVersion()
    {
        try
        {
            return AssemblyLoadContext.Default.LoadFromAssemblyName(new AssemblyName("FSharp.Core")).GetName().Version;
        }
        catch (FileNotFoundException)
        {
            return null;   // a host without any F#: ours is used
        }
    }

    private static string? PathOf(string folder, AssemblyName name)
    {
        if (name.Name is not { } simple || !Owned.Contains(simple, StringComparer.OrdinalIgnoreCase)) return null;
        var path = Path.Combine(folder, simple + ".dll");
        return File.Exists(path) ? path : null;
    }

    /// <summary>Answers for the whole F# side, whatever version is asked for.</summary>
    private sealed class OwnContext(string folder) : AssemblyLoadContext("sweepbook")
    {
        protected override Assembly? Load(AssemblyName name) =>
            PathOf(folder, name) is { } path ? LoadFromAssemblyPath(path) : null;
    }
}
