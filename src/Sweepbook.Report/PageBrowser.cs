// SPDX-License-Identifier: MIT
using System.Diagnostics;
using Sweepbook.Files;

namespace Sweepbook.Report;

/// <summary>A browser of this machine that prints a page into a PDF, without a window, a network or the user's own profile.</summary>
/// <remarks>
/// Any browser built on Chromium, version 131 or newer (older ones leave the page numbers out). It runs with a profile of its own that is removed afterwards, and is ended with all that it started when it takes too
/// long or the run is cancelled. As root on Linux it runs without its sandbox, because it refuses to start with it; the page is one that this program wrote, and its own policy lets it fetch nothing.
/// Own convention; the sheet, its margins and what stands in them are those of the page's style (CSS Paged Media Module Level 3).
/// </remarks>
public sealed class PageBrowser
{
    /// <summary>The variable that names the browser to use.</summary>
    public const string Variable = "SWEEPBOOK_BROWSER";

    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(2);   // a page of 60 figures takes some 20 s on one old processor
    private static readonly byte[] Beginning = "%PDF-"u8.ToArray();

    private static readonly string[] Names = ["chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "microsoft-edge", "microsoft-edge-stable"];

    private static readonly string[] Apps =
    [
        "/Applications/Chromium.app/Contents/MacOS/Chromium", "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome", "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
    ];

    private static readonly string[] BelowProgramFiles = ["Google/Chrome/Application/chrome.exe", "Microsoft/Edge/Application/msedge.exe", "Chromium/Application/chrome.exe"];

    private readonly string _program;

    private PageBrowser(string program) => _program = program;

    /// <summary>The browser to print with: the one that <see cref="Variable"/> names, else the first in its usual places.</summary>
    /// <exception cref="DataFault">There is none; the message says how to get one.</exception>
    public static PageBrowser Find()
    {
        if (Environment.GetEnvironmentVariable(Variable) is { Length: > 0 } named)
            return Existing(named) is { } program ? new(program)
                : throw new DataFault(named, null, $"{Variable} names this browser, and there is no such program", $"Correct {Variable}, or unset it to look in the usual places.");
        return Names.Select(Existing).Concat(UsualPlaces().Where(File.Exists)).FirstOrDefault(found => found is not null) is { } first ? new(first)
            : throw new DataFault("--pdf", null, "no browser was found to print with (chromium, google-chrome or microsoft-edge)",
                $"Install one (Debian: apt install chromium) or name it in {Variable}; or leave --pdf out and print report.html from any browser.");
    }

    /// <summary>Prints a page.</summary>
    /// <param name="page">The page, an HTML file.</param>
    /// <param name="pdf">The file to write.</param>
    /// <param name="cancellation">Ends the browser, then the call throws.</param>
    /// <returns>Done when the file stands.</returns>
    /// <exception cref="DataFault">The browser does not start, takes too long, or writes no PDF.</exception>
    /// <exception cref="OperationCanceledException">Cancelled; the browser has ended.</exception>
    public async Task PrintAsync(string page, string pdf, CancellationToken cancellation)
    {
        ArgumentException.ThrowIfNullOrEmpty(page);
        ArgumentException.ThrowIfNullOrEmpty(pdf);
        var profile = Directory.CreateTempSubdirectory("sweepbook-print-").FullName;
        try
        {
            using var process = Start(page, pdf, profile);
            using var limit = CancellationTokenSource.CreateLinkedTokenSource(cancellation);
            limit.CancelAfter(Patience);
            _ = process.StandardOutput.BaseStream.CopyToAsync(Stream.Null, CancellationToken.None);   // what it says is about the desktop it does not find
            _ = process.StandardError.BaseStream.CopyToAsync(Stream.Null, CancellationToken.None);
            try
            {
                await process.WaitForExitAsync(limit.Token);
            }
            catch (OperationCanceledException) when (!cancellation.IsCancellationRequested)
            {
                throw Failed($"it was not finished within {Patience.TotalMinutes:0} minutes");
            }
            finally
            {
                await EndAsync(process);
            }
            if (!IsPdf(pdf)) throw Failed($"it ended with exit code {process.ExitCode} and wrote no PDF");
        }
        finally
        {
            await RemoveAsync(profile);
        }
    }

    private Process Start(string page, string pdf, string profile)
    {
        var start = new ProcessStartInfo(_program) { RedirectStandardOutput = true, RedirectStandardError = true, RedirectStandardInput = true, UseShellExecute = false, CreateNoWindow = true };
        string[] arguments =
        [
            "--headless", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run", "--no-default-browser-check", "--disable-extensions", "--disable-sync", "--disable-quic",
            "--disable-background-networking", "--disable-component-update", "--disable-default-apps", "--host-resolver-rules=MAP * ~NOTFOUND", $"--user-data-dir={profile}",
            "--no-pdf-header-footer", "--generate-pdf-document-outline", "--export-tagged-pdf", $"--print-to-pdf={Path.GetFullPath(pdf)}",
        ];
        foreach (var argument in arguments) start.ArgumentList.Add(argument);
        if (!OperatingSystem.IsWindows() && Environment.IsPrivilegedProcess) start.ArgumentList.Add("--no-sandbox");
        start.ArgumentList.Add(new Uri(Path.GetFullPath(page)).AbsoluteUri);
        try
        {
            var process = Process.Start(start) ?? throw Failed("it did not start");
            process.StandardInput.Close();
            return process;
        }
        catch (System.ComponentModel.Win32Exception refused)
        {
            throw Failed($"it did not start ({refused.Message.TrimEnd('.')})");
        }
    }

    private DataFault Failed(string how) =>
        new("--pdf", null, $"the browser {_program} printed nothing: {how}", $"Print report.html from any browser by hand, or name another one in {Variable}.");

    private static async Task EndAsync(Process process)
    {
        try
        {
            if (process.HasExited) return;
            process.Kill(entireProcessTree: true);
            await process.WaitForExitAsync(CancellationToken.None).WaitAsync(TimeSpan.FromSeconds(10));
        }
        catch (Exception gone) when (gone is InvalidOperationException or TimeoutException)
        {
            // it ended between the two calls, or will not end at all
        }
    }

    /// <summary>Some of the browser's helpers write into the profile for a moment after it has ended.</summary>
    private static async Task RemoveAsync(string profile)
    {
        for (var tries = 0; tries < 20; tries++)
        {
            try
            {
                Directory.Delete(profile, recursive: true);
                return;
            }
            catch (Exception busy) when (busy is IOException or UnauthorizedAccessException)
            {
                if (!Directory.Exists(profile)) return;
                await Task.Delay(50, CancellationToken.None);
            }
        }
    }

    private static bool IsPdf(string path)
    {
        if (!File.Exists(path)) return false;
        using var stream = File.OpenRead(path);
        var start = new byte[Beginning.Length];
        return stream.ReadAtLeast(start, start.Length, throwOnEndOfStream: false) == start.Length && start.AsSpan().SequenceEqual(Beginning);
    }

    private static string? Existing(string program)
    {
        if (program.Contains('/') || program.Contains(Path.DirectorySeparatorChar)) return File.Exists(program) ? Path.GetFullPath(program) : null;
        return SearchPath.Find(program);
    }

    private static IEnumerable<string> UsualPlaces()
    {
        if (OperatingSystem.IsMacOS()) return Apps;
        if (!OperatingSystem.IsWindows()) return [];
        return new[] { Environment.SpecialFolder.ProgramFiles, Environment.SpecialFolder.ProgramFilesX86, Environment.SpecialFolder.LocalApplicationData }
            .Select(Environment.GetFolderPath).Where(folder => folder.Length > 0).SelectMany(folder => BelowProgramFiles.Select(file => Path.Combine(folder, file)));
    }
}
