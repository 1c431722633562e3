// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Tests.Surveys;

/// <summary>Survey files for the tests; the whole one uses every key of the format once.</summary>
internal static class SurveyTexts
{
    public const string Whole = """
        format = 1
        title  = "Canal house den"
        date   = 2026-10-18

        [room]
        length_m = 5.62
        width_m  = 4.08
        height_m = 2.44
        temperature_c = 21.5

        [processor]
        delay_step_ms = 0.1
        delay_max_ms  = 20.0
        gain_step_db  = 0.5
        filter_bands  = 8

        [[stimulus]]
        id = "full"
        file = "stimuli/full.toml"

        [[microphone]]
        id = "omni-1"
        calibration = "microphones/omni-1.txt"
        calibration_sign = "correction"
        lowest_hz = 5.0
        highest_hz = 20000.0
        tolerance_db = 2.0
        max_spl_db = 128.0
        calibrated_on = 2024-03-02
        sensitivity_dbfs_at_94db = -31.4
        input_gain_db = 24.0
        reference = true
        noise_dba = 18.0

        [[microphone]]
        id = "omni-2"
        calibration = [{ angle_deg = 0, file = "microphones/a.txt" }, { angle_deg = 90, file = "microphones/b.txt" }]

        [[source]]
        id = "sub-left"
        kind = "subwoofer"
        position_m = [0.40, 0.45, 0.20]
        candidate_of = "sub-a"

        [[source]]
        id = "cone"
        kind = "cone"
        area_cm2 = 330
        count = 2
        part_of = "box-1"

        [[source]]
        id = "port"
        kind = "port"
        effective_diameter_mm = 100
        part_of = "box-1"

        [[seat]]
        id = "sofa-centre"
        position_m = [3.90, 2.04, 1.05]
        weight = 2

        [[seat]]
        id = "chair"

        [[setting]]
        id = "as-found"

        [[setting]]
        id = "corrected"
        note = "delay and filters entered"
        gain_db = -3
        delay_ms = { sub-left = 4.2 }
        polarity = { sub-left = "inverted", cone = "normal" }
        filters = [{ type = "peak", frequency_hz = 43, gain_db = -6, q = 5 }, { type = "all-pass", frequency_hz = 80 }]

        [take-defaults]
        microphone = "omni-1"
        stimulus = "full"
        microphone_channel = 1
        reference_channel = 2
        time_zero = "loopback"
        field = "room"

        [[take]]
        file = "takes/one.wav"
        sources = ["sub-left"]
        seat = "sofa-centre"
        setting = "corrected"
        input_gain_db = 20
        drive_db = -6
        use = false
        note = "door was open </script><b>"
        recorded_at = 2026-10-18T20:15:00+02:00

        [[take]]
        file = "takes/two.wav"
        sources = ["cone", "sub-left"]
        seat = "chair"
        time_zero = "marker"
        time_group = "evening"
        marker_distance_m = 2.45
        clock_ppm = -37.2
        microphone = "omni-2"
        microphone_channel = 3

        [[take]]
        file = "takes/three.wav"
        sources = ["port"]
        field = "near"
        distance_mm = 5
        angle_deg = 0
        time_zero = "unknown"

        [[take]]
        file = "takes/clap.wav"
        sources = ["sub-left"]
        seat = "chair"
        impulse = true
        time_zero_s = 0.25
        """;

    /// <summary>A survey with two sources, two seats, one stimulus and one microphone; takes are added by the test.</summary>
    public const string Plain = """
        format = 1
        # two of everything that a take names
        [[stimulus]]
        id = "full"
        file = "stimuli/full.toml"
        [[microphone]]
        id = "omni"
        [[source]]
        id = "sub-left"
        kind = "subwoofer"
        [[source]]
        id = "sub-right"
        kind = "subwoofer"
        [[seat]]
        id = "sofa"
        [[seat]]
        id = "sofa_2"
        [[setting]]
        id = "new"

        """;

    public static Survey Read(string text, params string[] files)
    {
        using var folder = new SurveyFolder();
        folder.Put("survey.toml", text);
        foreach (var file in files) folder.Put(file, "");
        return Survey.Read(folder.Path);
    }

    public static string FaultOf(string text, params string[] files)
    {
        using var folder = new SurveyFolder();
        folder.Put("survey.toml", text);
        foreach (var file in files) folder.Put(file, "");
        var before = folder.Files("");
        var message = Assert.Throws<DataFault>(() => Survey.Read(folder.Path)).Message;
        Assert.Equal(before, folder.Files(""));   // nothing was written
        Assert.DoesNotContain('\n', message);
        return message;
    }
}
