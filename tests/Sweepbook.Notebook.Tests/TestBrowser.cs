// SPDX-License-Identifier: MIT
using System.Diagnostics;
using PuppeteerSharp;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>A Chromium without a network: in a network namespace of its own where the system allows it, and told to be offline everywhere.</summary>
internal sealed class TestBrowser : IAsyncDisposable
{
    private readonly IBrowser _browser;
    private readonly TestFolder _folder;

    private TestBrowser(IBrowser browser, TestFolder folder, bool cut) => (_browser, _folder, IsCut) = (browser, folder, cut);

    /// <summary>True where the browser's process itself has no network.</summary>
    public bool IsCut { get; }

    public static string? Program { get; } = new[] { Environment.GetEnvironmentVariable("SWEEPBOOK_CHROMIUM"), "/usr/bin/chromium", "/usr/bin/chromium-browser" }
        .FirstOrDefault(path => path is not null && File.Exists(path));

    public static void SkipWithout() =>
        Assert.SkipWhen(Program is null, "No Chromium here (Debian: chromium; or its path in SWEEPBOOK_CHROMIUM).");

    /// <param name="network">A process whose network it joins; null: none at all.</param>
    public static async Task<TestBrowser> StartAsync(int? network = null)
    {
        var folder = new TestFolder();
        var cut = CanCut();
        var program = Program!;
        if (cut && OperatingSystem.IsLinux())
        {
            program = folder.File("browser");
            var inside = network is { } process ? FormattableString.Invariant($"nsenter -t {process} -n") : "unshare -n";
            await File.WriteAllTextAsync(program, $"#!/bin/sh\nexec {inside} {Program} \"$@\"\n");
            File.SetUnixFileMode(program, UnixFileMode.UserRead | UnixFileMode.UserExecute);
        }
        var browser = await Puppeteer.LaunchAsync(new()
        {
            ExecutablePath = program,
            Headless = true,
            Pipe = true,   // no port: the two speak through inherited file descriptors, so that a namespace of its own does not part them
            UserDataDir = folder.File("profile"),
            ProtocolTimeout = 600_000,   // a notebook may run that long on a busy machine
            Args = ["--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run", "--disable-background-networking", "--disable-component-update"],
        });
        return new(browser, folder, cut);
    }

    /// <summary>Opens a file and waits until its figures are drawn; what went wrong is kept.</summary>
    public async Task<TestPage> OpenAsync(string file, int width = 1200)
    {
        var page = await BlankAsync(width);
        await page.Page.SetOfflineModeAsync(true);
        await page.Page.GoToAsync(new Uri(file).AbsoluteUri, WaitUntilNavigation.Load);
        await page.Page.WaitForFunctionAsync("() => [...document.querySelectorAll('.sweepbook-figure')].every(f => f.querySelector('.main-svg'))");
        return page;
    }

    /// <summary>A page that shows nothing yet and keeps what goes wrong on it.</summary>
    /// <param name="width">Width in pixels.</param>
    /// <param name="theirs">Tells of a message and the address of the script that gave it whether it is not ours to mend; null: everything is.</param>
    public async Task<TestPage> BlankAsync(int width = 1200, Func<string, string, bool>? theirs = null)
    {
        var isTheirs = theirs ?? ((_, _) => false);
        var page = await _browser.NewPageAsync();
        var (errors, requests) = (new List<string>(), new List<string>());
        page.Console += (_, said) =>
        {
            if (said.Message.Type is ConsoleType.Error or ConsoleType.Warning && !isTheirs(said.Message.Text, said.Message.Location?.URL ?? "")) lock (errors) errors.Add($"{said.Message.Text} ({said.Message.Location?.URL})");
        };
        page.PageError += (_, error) => { lock (errors) errors.Add(error.Message); };
        page.Request += (_, request) => { lock (requests) requests.Add(request.Request.Url); };
        await page.SetViewportAsync(new() { Width = width, Height = 900 });
        return new(page, errors, requests);
    }

    public async ValueTask DisposeAsync()
    {
        await _browser.CloseAsync();
        _browser.Dispose();
        _folder.Dispose();
    }

    internal static bool CanCut()
    {
        if (!OperatingSystem.IsLinux()) return false;
        try
        {
            using var process = Process.Start(new ProcessStartInfo("unshare", ["-n", "true"]) { RedirectStandardError = true })!;
            process.WaitForExit();
            return process.ExitCode == 0;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            return false;   // no such program
        }
    }
}

/// <summary>An open page with what it complained of and what it asked for.</summary>
internal sealed record TestPage(IPage Page, List<string> Errors, List<string> Requests);
