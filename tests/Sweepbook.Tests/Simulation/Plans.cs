// SPDX-License-Identifier: MIT
using System.Text.RegularExpressions;
using Sweepbook.Simulation;
using Sweepbook.Tests.Files;

namespace Sweepbook.Tests.Simulation;

/// <summary>A small plan of short takes, as text that tests change.</summary>
internal static class Plans
{
    public const string Small = """
        format = 1
        title = "Two seats"
        date = 2026-10-18
        seed = 11
        [room]
        length_m = 4.4
        width_m = 3.5
        height_m = 2.4
        crossover_hz = 150.0
        leak_hz = 4.0
        [[decay]]
        frequency_hz = 100.0
        t60_s = 0.25
        [[decay]]
        frequency_hz = 2000.0
        t60_s = 0.2
        [stimulus]
        file = "short.wav"
        sample_rate_hz = 48000
        start_hz = 20.0
        end_hz = 20000.0
        sweep_s = 0.8
        lead_in_s = 0.3
        tail_s = 0.6
        level_dbfs = -12.0
        fade_in_s = 0.05
        fade_out_s = 0.01
        [microphone]
        id = "omni-1"
        high_pass_hz = 6.0
        rise_hz = 12000.0
        rise_db = 2.0
        calibrated_from_hz = 16.0
        calibrated_to_hz = 20000.0
        [interface]
        latency_samples = [200, 500]
        loopback_gain_db = -3.0
        loopback_noise_dbfs = -98.0
        input_gain_db = 10.0
        coupling_hz = 3.0
        [noise]
        room_dbfs = -66.0
        self_dbfs = -90.0
        mains_dbfs = [-80.0]
        [[source]]
        id = "main"
        kind = "loudspeaker"
        position_m = [0.5, 0.9, 1.0]
        aim_m = [3.0, 1.8, 1.1]
        beam_hz = 900.0
        gain_db = -20.0
        delay_ms = 1.7
        high_pass_hz = 50.0
        high_pass_order = 4
        a2 = 0.02
        distortion_below_hz = 250.0
        [[source]]
        id = "sub"
        kind = "subwoofer"
        position_m = [0.3, 0.3, 0.2]
        gain_db = -24.0
        low_pass_hz = 120.0
        [[seat]]
        id = "near"
        position_m = [2.2, 1.8, 1.1]
        [[seat]]
        id = "far"
        position_m = [3.6, 2.4, 1.1]
        [[repeat]]
        source = "main"
        seat = "near"
        takes = 2
        """;

    public static readonly string Quiet = Small.Replace("room_dbfs = -66.0", "room_dbfs = -300.0", StringComparison.Ordinal)
        .Replace("self_dbfs = -90.0", "self_dbfs = -300.0", StringComparison.Ordinal)
        .Replace("loopback_noise_dbfs = -98.0", "loopback_noise_dbfs = -300.0", StringComparison.Ordinal)
        .Replace("mains_dbfs = [-80.0]", "", StringComparison.Ordinal)
        .Replace("a2 = 0.02", "", StringComparison.Ordinal);

    /// <summary>The small plan, its microphone beside a recorder of its own, and a marker on a shelf.</summary>
    public static string Marked(double fastPpm, double startSeconds) => Small
        .Replace("sweep_s = 0.8", "sweep_s = 1.6", StringComparison.Ordinal)
        .Replace("lead_in_s = 0.3", "lead_in_s = 1.3", StringComparison.Ordinal)
        .Replace("tail_s = 0.6", "tail_s = 1.4", StringComparison.Ordinal)
        .Replace("[microphone]", "[stimulus.marker]\nstart_s = 0.35\nlength_s = 0.2\nstart_hz = 2000.0\nend_hz = 12000.0\nrepeat_start_s = 3.6\n[microphone]", StringComparison.Ordinal)
        .Replace("loopback_gain_db = -3.0", FormattableString.Invariant($"recorder_ppm = [{fastPpm}, {fastPpm}]"), StringComparison.Ordinal)
        .Replace("loopback_noise_dbfs = -98.0", FormattableString.Invariant($"recorder_start_s = [{startSeconds}, {startSeconds}]"), StringComparison.Ordinal)
        .Replace("[[seat]]\nid = \"near\"", "[marker-loudspeaker]\nposition_m = [1.0, 0.4, 1.5]\ngain_db = -20.0\nhigh_pass_hz = 120.0\n[[seat]]\nid = \"near\"", StringComparison.Ordinal);

    /// <summary>The small plan with another kind of sweep and other lines of its stimulus, parted by bars.</summary>
    public static string Of(string kind, string changes) => changes.Split('|', StringSplitOptions.RemoveEmptyEntries).Aggregate(
        Small.Replace("level_dbfs = -12.0", $"kind = \"{kind}\"\nlevel_dbfs = -12.0", StringComparison.Ordinal),
        (text, change) => Regex.Replace(text, $"(?m)^ *{Regex.Escape(change.Split('=')[0])}= [0-9.]+$", change));

    public static SimulationPlan Read(string text)
    {
        using var folder = new TemporaryFolder();
        return SimulationPlan.Read(folder.Put("small.plan.toml", text));
    }

    public static SimulatedTake Make(string text, string name)
    {
        var system = new SimulatedSystem(Read(text).Survey);
        return system.Make(system.Plan.Takes.Single(take => take.Name == name));
    }
}
