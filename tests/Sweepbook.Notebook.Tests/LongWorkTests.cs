// SPDX-License-Identifier: MIT
using System.Diagnostics;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed class LongWorkTests(ViewStudies views) : IClassFixture<ViewStudies>
{
    [Fact]
    public void A_study_that_is_stopped_says_after_how_many_takes_and_shows_nothing_else()
    {
        var survey = Survey.Read(views.TimedFolder);
        using var stop = new CancellationTokenSource();
        var stopped = Assert.ThrowsAny<OperationCanceledException>(() => Study.Of(survey, new Told(_ => stop.Cancel()), stop.Token));
        Assert.Equal(("Interrupted after 0 of 2 takes.", ""), (stopped.ToString(), stopped.StackTrace));
        Assert.Equal(2, Study.Of(survey).Takes.Count);   // the next try is whole
    }

    [Fact]
    public void A_simulation_that_is_stopped_says_the_same_and_leaves_nothing_behind()
    {
        using var folder = new TestFolder();
        using var stop = new CancellationTokenSource();
        stop.Cancel();
        var plan = Simulation.SimulationPlan.Read(Path.Combine(TestFolder.Repository, "data-demo", "orchard-row.plan.toml"));
        var stopped = Assert.ThrowsAny<OperationCanceledException>(() => Simulation.Simulator.Write(plan, folder.File("evening"), cancellation: stop.Token));
        Assert.Equal("Interrupted after 0 of 16 takes.", stopped.ToString());
        Assert.Empty(Directory.EnumerateFileSystemEntries(folder.Path));
    }

    [Fact]
    public void The_line_of_a_cell_follows_the_work_and_is_gone_in_the_end()
    {
        var lines = new List<string>();
        using var stop = new CancellationTokenSource();
        var watch = new CellWatch(CancellationTokenSource.CreateLinkedTokenSource(stop.Token), first =>
        {
            lines.Add(first);
            return lines.Add;
        })
        { Patience = TimeSpan.Zero, Pause = TimeSpan.Zero };
        watch.Report("Take 1 of 2: <a>.wav");
        watch.Report("Take 2 of 2: b.wav");
        stop.Cancel();
        Assert.True(watch.Cancellation.IsCancellationRequested);
        watch.Report("not heard any more");
        watch.Dispose();
        Assert.Equal(3, lines.Count);
        Assert.Contains("Take 1 of 2: &lt;a&gt;.wav", lines[0]);
        Assert.Contains("Take 2 of 2: b.wav", lines[1]);
        Assert.Equal("", lines[2]);
    }

    [Fact]
    public void A_line_stands_long_enough_to_be_read()
    {
        var lines = new List<string>();
        using (var watch = new CellWatch(new(), _ => lines.Add) { Patience = TimeSpan.Zero, Pause = TimeSpan.FromHours(1) })
        {
            watch.Report("Take 1 of 2");
            watch.Report("Take 2 of 2");
            Assert.Empty(lines);
        }
        Assert.Equal([""], lines);
    }

    [Fact]
    public void Short_work_shows_no_line()
    {
        using var watch = new CellWatch(new(), _ => throw new InvalidOperationException("Shown.")) { Patience = TimeSpan.FromHours(1) };
        watch.Report("Reading");
    }

    [Fact]
    public void The_stop_button_stops_what_runs_and_not_what_comes_later()
    {
        var running = StopButton.Token;
        StopButton.Press();
        Assert.True(running.IsCancellationRequested);
        Assert.False(StopButton.Token.IsCancellationRequested);
    }

    [Fact]
    public async Task In_Jupyter_the_stop_button_ends_the_cell_and_the_next_cell_works()
    {
        JupyterServer.SkipWithoutKernel();
        using var folder = new TestFolder();
        File.WriteAllText(folder.File("stop.py"), Script);
        var start = new ProcessStartInfo("/usr/bin/python3", [folder.File("stop.py"), Path.Combine(TestFolder.Repository, "notebooks")]) { RedirectStandardOutput = true, RedirectStandardError = true };
        start.Environment["JUPYTER_PATH"] = JupyterServer.KernelFolder;
        using var process = Process.Start(start)!;
        var errors = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        var said = await process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        var lines = said.Split('\n', StringSplitOptions.RemoveEmptyEntries).Where(line => line.StartsWith("> ", StringComparison.Ordinal)).ToArray();
        Assert.True(lines.Length == 4, said + await errors);
        Assert.Matches(@"^> Interrupted after \d+ of 16 takes\.$", lines[0]);
        TestContext.Current.TestOutputHelper?.WriteLine($"the cell ended {lines[1][2..]} s after the stop");
        Assert.Equal(["> 16", "> line gone"], lines[2..]);
    }

    /// <summary>Starts the kernel, studies a survey, presses stop as soon as the line of the cell is there, and goes on.</summary>
    private const string Script = """
        import sys, time
        from jupyter_client.manager import KernelManager
        manager = KernelManager(kernel_name="sweepbook")
        manager.start_kernel(cwd=sys.argv[1])
        client = manager.client()
        client.start_channels()
        client.wait_for_ready(timeout=60)
        def run(code, stop=False):
            sent, pressed, said, shown, until = client.execute(code), None, "", {}, time.time() + 60
            while time.time() < until:
                try: message = client.get_iopub_msg(timeout=1)
                except Exception: continue
                if message["parent_header"].get("msg_id") != sent: continue
                kind, content = message["msg_type"], message["content"]
                if kind in ("display_data", "update_display_data"):
                    shown[content["transient"]["display_id"]] = content["data"].get("text/html", "")
                    if stop and pressed is None and "sweepbook-progress" in content["data"].get("text/html", ""):
                        pressed = time.time()
                        manager.interrupt_kernel()
                if kind == "error": said = content["evalue"]
                if kind == "execute_result": said = content["data"]["text/plain"]
                if kind == "status" and content["execution_state"] == "idle": break
            return said, time.time() - (pressed or 0), shown
        try:
            run('#load "sweepbook.csx"\nusing Sweepbook.Studies; using Sweepbook.Surveys;\nvar survey = Survey.Read("../data-demo/orchard-row");')
            said, seconds, shown = run("var first = Study.Of(survey);", stop=True)
            print("> " + said)
            print("> %.3f" % seconds)
            print("> " + run("Study.Of(survey).Takes.Count")[0])
            print("> line gone" if all("progress" not in html for html in shown.values()) else "> line left")
        finally:
            manager.shutdown_kernel(now=True)
        """;

    private sealed class Told(Action<string> tell) : IProgress<string>
    {
        public void Report(string value) => tell(value);
    }
}
