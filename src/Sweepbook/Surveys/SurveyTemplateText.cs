// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Files;
using Sweepbook.Stimuli;

namespace Sweepbook.Surveys;

/// <summary>The texts of a new survey.</summary>
internal static class SurveyTemplateText
{
    internal static string Survey(string title, StimulusDescription stimulus) => $"""
        # A survey: one measuring job, described so that somebody else can recompute it from these files in a year.
        # Lines that begin with # are remarks. Take the # away where a line applies to you, and change what stands in it.
        # Every path is relative to this folder.

        format = 1
        title  = {TomlText.Quoted(title)}
        # date = 2026-10-18                # the day you measured: year-month-day, without quotes

        # Recordings are found by their names. With this pattern, a recording of the source "sub" at the seat "sofa-centre"
        # in the setting "as-found", made for the first time, is called takes/sub_sofa-centre_as-found_1.wav
        # Several sources that play together are joined by +, for example sub+main_sofa-centre_as-found_1.wav
        takes = "takes/{"{source}_{seat}_{setting}_{repeat}"}.wav"

        # The room as a box, in metres, measured inside. With it the room's modes are predicted.
        # [room]
        # length_m = 5.62
        # width_m  = 4.08
        # height_m = 2.44
        # temperature_c = 20.0

        # What your processor can be set to: recommendations then keep to its steps.
        # [processor]
        # delay_step_ms = 0.1
        # delay_max_ms  = 20.0
        # gain_step_db  = 0.5
        # filter_bands  = 8

        # What the job needs of the microphone: `sweepbook check` then says whether its readings serve there.
        # [wanted]
        # from_hz = 10.0
        # to_hz = 200.0
        # within_db = 2.0                  # how far a reading may be off; 2 where nothing is said

        # What is played. {Sweep(stimulus)}
        [[stimulus]]
        id = "full"
        file = "stimuli/full.toml"

        # The microphone. Put its calibration file into microphones/ and name it here.
        [[microphone]]
        id = "omni-1"
        # calibration = "microphones/omni-1.txt"
        # calibration_sign = "response"    # the file says what the microphone adds (usual); "correction" if it says what to add to a reading
        # calibration_phase = "minimum"    # the phase that its levels imply is taken out; without this line what the file states, if it has a phase
        # lowest_hz = 20.0                 # from the data sheet, with its tolerance
        # highest_hz = 20000.0
        # tolerance_db = 2.0
        # max_spl_db = 120.0               # the loudest sound it takes
        # calibrated_on = 2024-03-02
        # calibration_uncertainty_db = 0.5 # from its certificate; ± 1 dB is assumed where nothing is stated

        # What makes the sound. kind: subwoofer, loudspeaker, cone or port.
        # Positions are metres from one floor corner: along the length, along the width, above the floor.
        [[source]]
        id = "sub"
        kind = "subwoofer"
        # position_m = [0.40, 0.45, 0.20]

        [[source]]
        id = "main"
        kind = "loudspeaker"
        # position_m = [0.60, 1.30, 0.95]

        # Where people listen. weight: how much a seat counts in the mean over seats (1 where nothing is said).
        [[seat]]
        id = "sofa-centre"
        # position_m = [3.90, 2.04, 1.05]

        [[seat]]
        id = "sofa-left"
        # weight = 0.5

        # States of the system. "as-found" needs no entry. Add one for every change that you measure.
        # [[setting]]
        # id = "corrected"
        # note = "subwoofer delayed, one filter"
        # gain_db  = {"{ sub = -3.0 }"}
        # delay_ms = {"{ main = 4.2 }"}
        # polarity = {"{ sub = \"inverted\" }"}
        # filters  = {"{ sub = [{ type = \"peak\", frequency_hz = 43.0, gain_db = -6.0, q = 5.0 }] }"}

        # What all recordings share.
        [take-defaults]
        microphone_channel = 1             # channels are counted from 1
        time_zero = "loopback"             # a wire from an output back to an input tells when the sweep left;
        reference_channel = 2              # without one: delete this line and write time_zero = "marker", if the stimulus plays one
                                           # (sweepbook stimulus --marker), or else time_zero = "unknown"
        # marker_distance_m = 2.15         # with a marker: from its loudspeaker to the microphone, best said for each take
        field = "room"

        # Optional: the stimulus once into both inputs at the same time, through a cable that splits one output. What the two inputs do not share,
        # their lowest octave and a delay between them, is then taken off every take with the same channels. Before you plug it in: phantom power
        # off, the microphone input's gain all the way down, the output's level low.
        # [input-check]
        # file = "takes/input-check.wav"   # also: stimulus, microphone_channel, reference_channel, where they differ from the defaults above

        # Optional, for levels in dB re 20 µPa: ten seconds of a calibrator's tone, one recording per microphone and input gain. The gain must not change
        # between this and the takes. Wait until the calibrator sits still before you record; its tone is loud: not on anybody's ear.
        # [[calibrator]]
        # file = "takes/calibrator_omni-1.wav"
        # microphone = "omni-1"
        # level_db = 94.0                  # 94 or 114, as the calibrator says
        # frequency_hz = 1000.0            # 1000 where nothing is said; some give 250
        # input_gain_db = 24.0             # as in the takes that it holds for

        # Recorded elsewhere, in one long file? `sweepbook import FILE --survey . --source sub --seat sofa-centre` cuts the takes out
        # and adds their entries below.

        # A recording that needs more than its name gets a table of its own, for example
        # [[take]]
        # file = "takes/sub_sofa-centre_as-found_2.wav"
        # use = false
        # note = "a lorry went by"

        """;

    internal const string Microphones = """
        # Calibration files

        One text file per microphone (or per angle), lines of `frequency level [phase]`: hertz, decibels and, if there is one, degrees,
        separated by blanks, tabs, commas or semicolons. Lines that do not begin with a number are kept as notes.

        Name the file in `survey.toml`: `calibration = "microphones/omni-1.txt"`. Almost all files state what the microphone adds
        (`calibration_sign = "response"`): +1.5 dB at 875 Hz means it reads 1.5 dB too high there, and the analysis takes 1.5 dB off.
        If yours states what has to be added to a reading, write `calibration_sign = "correction"`. The file itself cannot tell.

        """;

    internal const string Checklist = """
        # A measuring evening

        ## Before anything sounds

        - **Hearing.** A sweep is loud for its whole length, and low bass is louder than it seems. A common limit for a day is 85 dB(A) for 8 hours,
          and every 3 dB more halves the time: 94 dB(A) for one hour, 100 dB(A) for 15 minutes. Leave the room or wear hearing protection,
          keep children and animals out, think of the neighbours. A reading in dB(A) hides bass: 110 dB at 20 Hz is only 59.5 dB(A).
        - **Drivers.** Below its tuning a vented box no longer holds its cone, and the cone moves far for little sound. Start 20 dB below what you
          think is right, listen for knocks and rattles, and start the sweep at a higher frequency if there are any.
        - **Amplifiers.** Connect and disconnect with the power off. Inside an amplifier there are dangerous voltages, also after it is unplugged:
          leave the cover on. A microphone or loopback input is no place for a loudspeaker output.
        - **Things hung or stacked.** Nothing goes above heads, on stands or on top of each other that was not fixed for it: bass walks it over the edge.
          Rigging and mains wiring are the work of licensed people. Local codes and laws come before anything written here.

        ## Once

        1. Fill in `survey.toml`: sources, seats, microphone. Measure room and positions if you want modes predicted.
        2. Switch off what changes the sound by itself: automatic room correction, loudness, night modes, compressors, resampling in the system mixer.
           Set sample rate of player, interface and recorder to that of the stimulus.
        3. Wire one output of the interface back into its second input (the loopback). It tells every take when the sweep left.
        4. Switch off fans, heating and refrigerators; close windows and doors; note what stays on.
        5. Put the microphone at the first seat, at ear height, pointing the way its calibration file says, on a stand and away from the chair's back.

        ## Level

        6. Play the stimulus quietly and raise it. Aim for peaks between -20 and -6 dBFS on the microphone's input; never touch 0.
        7. If you have a sound calibrator: ten seconds of its tone now, at this gain (`[[calibrator]]` in `survey.toml`). All levels are then in dB re 20 µPa.
           From here on leave every gain alone, or write the change into the take (`input_gain_db`, `drive_db`).

        ## For each seat

        8. One source at a time, then the pairs that you want to check. Record the whole stimulus with its silence before and after.
        9. Make two takes of each: repeats tell what can be trusted.
        10. Save as `takes/SOURCE_SEAT_SETTING_REPEAT.wav`, 24 bits, unprocessed: no normalising, no fades, no noise reduction.
        11. Do not move the microphone between the sources of one seat: only then may their responses be added.

        ## Before you pack up

        12. In this folder, run `sweepbook check .`, and later `sweepbook report .`: clipped, silent or noisy takes are made again in a minute now and in an evening later.
        13. After changing something, add a `[[setting]]` that says what, and measure again: a proof is a second measurement.

        """;

    private static string Sweep(StimulusDescription stimulus) => string.Create(CultureInfo.InvariantCulture,
        $"This one runs from {stimulus.StartHz:0.###} Hz to {stimulus.EndHz:0.###} Hz in {stimulus.SweepSeconds:0.###} s at {stimulus.SampleRateHz} samples per second.");
}
