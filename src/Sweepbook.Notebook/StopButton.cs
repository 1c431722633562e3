// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Runtime.InteropServices;
using Microsoft.Win32.SafeHandles;

namespace Sweepbook.Notebook;

/// <summary>Hears the stop button of a notebook page while a cell runs.</summary>
/// <remarks>
/// The kernel puts an interrupt message behind the cell that runs, so it would be heard too late. The page's server sends the interrupt signal to the processes of the kernel instead:
/// the kernel was started so that it ignores that one, which would end it, and gets SIGURG in its place, which does nothing to a program that does not ask for it (`sweepbook jupyter install` writes how).
/// On Windows the server sets an event that it names in JPY_INTERRUPT_EVENT. Source: Jupyter Client documentation, "Making kernels for Jupyter", interrupt_mode; POSIX.1-2017, signal.h.
/// </remarks>
internal static class StopButton
{
    private const int UrgentOnLinux = 23, UrgentOnMac = 16;
    private static readonly Lock Gate = new();
    private static CancellationTokenSource s_pressed = new();
    private static bool s_hears;
    private static PosixSignalRegistration? s_registration;   // kept, because it ends when it is collected

    /// <summary>Cancelled when the button is pressed the next time.</summary>
    public static CancellationToken Token
    {
        get { lock (Gate) return s_pressed.Token; }
    }

    /// <summary>Begins to listen; the first call does the work.</summary>
    public static void Listen()
    {
        lock (Gate)
        {
            if (s_hears) return;
            s_hears = true;
        }
        if (OperatingSystem.IsWindows())
        {
            if (nint.TryParse(Environment.GetEnvironmentVariable("JPY_INTERRUPT_EVENT"), NumberStyles.Integer, CultureInfo.InvariantCulture, out var handle) && handle != 0) ListenToEvent(handle);
        }
        else if (Environment.GetEnvironmentVariable("SWEEPBOOK_STOP_SIGNAL") is { Length: > 0 })
        {
            s_registration = PosixSignalRegistration.Create((PosixSignal)(OperatingSystem.IsMacOS() ? UrgentOnMac : UrgentOnLinux), signal =>
            {
                signal.Cancel = true;
                Press();
            });
        }
    }

    /// <summary>What the button does: the work that runs is stopped, later work is not.</summary>
    internal static void Press()
    {
        CancellationTokenSource pressed;
        lock (Gate) (pressed, s_pressed) = (s_pressed, new());
        pressed.Cancel();
    }

    private static void ListenToEvent(nint handle)
    {
        var pressed = new AutoResetEvent(false) { SafeWaitHandle = new SafeWaitHandle(handle, ownsHandle: false) };
        ThreadPool.RegisterWaitForSingleObject(pressed, (_, _) => Press(), null, Timeout.Infinite, executeOnlyOnce: false);
    }
}
