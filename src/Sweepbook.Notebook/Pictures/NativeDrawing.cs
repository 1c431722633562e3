// SPDX-License-Identifier: MIT
using System.Runtime.InteropServices;
using System.Runtime.Loader;
using SkiaSharp;
using Sweepbook.Files;

namespace Sweepbook.Notebook.Pictures;

/// <summary>Finds the native part of the drawing library where the host does not: beside this assembly, sorted by system.</summary>
/// <remarks>
/// A notebook kernel loads assemblies by their path and knows nothing of the native files beside them. It is looked for before the library is touched:
/// an object of it that could not be made ends the process when it is cleared away.
/// </remarks>
internal static class NativeDrawing
{
    private const string Library = "libSkiaSharp";
    private static readonly Lazy<bool> s_isThere = new(Find);

    /// <exception cref="DataFault">There is none for this system.</exception>
    public static void MustBeThere()
    {
        if (!s_isThere.Value)
            throw new DataFault(Library, null, $"pictures in pixels cannot be made on {RuntimeInformation.RuntimeIdentifier}, for which the drawing library is not here", "Write a drawing with SaveSvg; it needs nothing.");
    }

    /// <summary>The file for a system, or null where there is none.</summary>
    internal static string? PathIn(string folder)
    {
        var architecture = RuntimeInformation.ProcessArchitecture.ToString().ToLowerInvariant();
        var (system, ending) = OperatingSystem.IsWindows() ? ($"win-{architecture}", ".dll")
            : OperatingSystem.IsMacOS() ? ("osx", ".dylib")
            : ($"linux-{(RuntimeInformation.RuntimeIdentifier.Contains("musl", StringComparison.Ordinal) ? "musl-" : "")}{architecture}", ".so");
        var path = Path.Combine(folder, "runtimes", system, "native", Library + ending);
        return File.Exists(path) ? path : null;
    }

    private static bool Find()
    {
        var assembly = typeof(SKCanvas).Assembly;
        var folder = Path.GetDirectoryName(typeof(NativeDrawing).Assembly.Location) ?? AppContext.BaseDirectory;
        var context = AssemblyLoadContext.GetLoadContext(assembly) ?? AssemblyLoadContext.Default;
        context.ResolvingUnmanagedDll += (_, name) =>
            Path.GetFileNameWithoutExtension(name) == Library && PathIn(folder) is { } path && NativeLibrary.TryLoad(path, out var found) ? found : IntPtr.Zero;
        return NativeLibrary.TryLoad(Library, assembly, null, out _);
    }
}
