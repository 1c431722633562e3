// SPDX-License-Identifier: MIT
namespace Sweepbook.Cli;

/// <summary>The first survey.toml of somebody who has never seen one, and the list to walk through with a laptop on the knees.</summary>
internal static class SurveyTemplate
{
    /// <summary>A survey that reads as it stands; what is optional is commented out and says what it would bring.</summary>
    public static string Survey(string title, DateOnly date) => $$"""
        # A survey: what was measured, with what, where. Lines that start with # are notes or things you may want.
        # Every path is relative to this file and stays inside this folder. Channels are counted from 1.
        format = 1
        title  = {{Quoted(title)}}
        date   = {{date:yyyy-MM-dd}}

        # Finds the takes by their names: takes/sub-left_sofa-left_1.wav is the first take of sub-left at sofa-left.
        takes  = "takes/{source}_{seat}_{repeat}.wav"

        # The inner size of the room lets the report name the modes it predicts. Leave it out for a room that is no box.
        # [room]
        # length_m = 5.62
        # width_m  = 4.08
        # height_m = 2.44
        # temperature_c = 20

        [[stimulus]]
        id   = "full"
        file = "stimuli/full.toml"

        [[microphone]]
        id = "mic"
        # The calibration file that came with the microphone: lines of frequency and decibels. It is subtracted.
        # Without one the report says so and trusts less.
        # calibration = "microphones/mic.txt"
        # From its data sheet: the range and how far off it may be there.
        # lowest_hz    = 20
        # highest_hz   = 20000
        # tolerance_db = 3
        # max_spl_db   = 120

        # What can be driven. kind: subwoofer, loudspeaker, cone or port.
        [[source]]
        id   = "sub-left"
        kind = "subwoofer"

        [[source]]
        id   = "sub-right"
        kind = "subwoofer"

        # Where the microphone stood. One table per position; position_m = [length, width, height] is optional.
        [[seat]]
        id = "sofa-left"

        [[seat]]
        id = "sofa-right"

        # What all takes share.
        [take-defaults]
        microphone         = "mic"
        stimulus           = "full"
        microphone_channel = 1
        # A cable from a second output of the interface back into a second input gives every take the same time zero, and only such takes may be
        # added. Without one (a USB microphone, say) write time_zero = "unknown" and take the next line out.
        reference_channel  = 2
        time_zero          = "loopback"

        # A take that does not fit the pattern above, or needs more said about it:
        # [[take]]
        # file    = "takes/both-together.wav"
        # sources = ["sub-left", "sub-right"]
        # seat    = "sofa-left"
        # note    = "door open"

        """;

    /// <summary>What to do and in which order, with the cautions first.</summary>
    public static string Checklist() => $"""
        # Checklist

        ## Before anything plays

        {string.Join('\n', Cautions.All.Select(caution => $"- [ ] {caution}"))}

        ## Set up

        - [ ] Put the names of your sources and seats into `survey.toml`.
        - [ ] Microphone at ear height of the first seat, pointing as its calibration file wants; input gain written down and then left alone.
        - [ ] Automatic gain, noise suppression and every "enhancement" of the computer switched off; sample rate 48 kHz in the player, the recorder and
              the interface alike.
        - [ ] With an interface: a second output wired to a second input (the loopback), both at the same level as the microphone, never above −3 dBFS.
        - [ ] One source on, all others off. Equalisers, room correction and delays as you listen to them, or all off: say which as the `setting`.

        ## Each take

        - [ ] Start the recorder, wait a second, play `stimuli/full.wav`, wait until the room is silent, stop. Nobody moves, nobody talks.
        - [ ] Record WAV, 24 bits or float, one file per take, never compressed, into `takes/` as `source_seat_1.wav`; a repeat is `_2`.
        - [ ] The peak lies between −30 and −6 dBFS. Louder clips, quieter drowns: change the amplifier, not the gain of the input.
        - [ ] At least one take of each source twice: it tells how far a number can be repeated.

        ## Afterwards

        - [ ] `sweepbook check .` in this folder names takes that have to be made again while the microphone still stands there.
        - [ ] `sweepbook report .` makes the report.

        """;

    private static string Quoted(string text) => $"\"{string.Concat(text.Select(Escaped))}\"";

    private static string Escaped(char letter) => letter switch
    {
        '"' or '\\' => $"\\{letter}",
        < ' ' or '\x7F' => $"\\u{(int)letter:X4}",
        _ => letter.ToString(),
    };
}
