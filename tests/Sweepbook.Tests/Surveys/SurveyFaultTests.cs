// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Tests.Surveys;

public sealed class SurveyFaultTests
{
    private const string Take = "[[take]]\nfile = \"a.wav\"\nsources = [\"sub-left\"]\nseat = \"sofa\"\n";   // begins on line 20

    public static TheoryData<string, string> BadTakes => new()
    {
        { Take.Replace("sub-left", "sub-lefft"), "survey.toml:22: there is no source \"sub-lefft\". Did you mean `sub-left`?" },
        { Take.Replace("\"sofa\"", "\"sofas\""), "survey.toml:23: there is no seat \"sofas\". Did you mean `sofa`?" },
        { Take + "microphone = \"omin\"", "survey.toml:24: there is no microphone \"omin\". Did you mean `omni`?" },
        { Take + "setting = \"newer\"", "survey.toml:24: there is no setting \"newer\". Did you mean `new`?" },
        { Take + "stimulus = \"ful\"", "survey.toml:24: there is no stimulus \"ful\". Did you mean `full`?" },
        { Take + "chanel = 2", "survey.toml:24: [[take]] has no key `chanel`." },
        { Take + "microphone_chanel = 2", "survey.toml:24: [[take]] has no key `microphone_chanel`. Did you mean `microphone_channel`?" },
        { Take + "microphone_channel = 0", "survey.toml:24: `microphone_channel` must be a whole number from 1 to 1024 (channels are counted from 1), is 0." },
        { Take + "reference_channel = 1", "survey.toml:24: microphone and loopback are both said to be channel 1." },
        { Take + "time_zero = \"loopback\"", "survey.toml:24: time_zero is loopback but the take has no `reference_channel`. Add reference_channel = " },
        { Take + "time_zero = \"unknown\"\nreference_channel = 2", "survey.toml:25: time_zero is unknown, which uses no reference channel." },
        { Take + "time_group = \"one\"", "survey.toml:24: the take's time zero is unknown, so it can belong to no time group." },
        { Take + "impulse = true\nstimulus = \"full\"", "survey.toml:25: an impulse take has no stimulus." },
        { Take + "impulse = true\ntime_zero = \"loopback\"", "survey.toml:25: an impulse take has no loopback and no marker." },
        { Take + "time_zero_s = 1.0", "survey.toml:24: only an impulse take may state its time zero." },
        { Take + "impulse = true\ntime_zero_s = -1.0", "survey.toml:25: `time_zero_s` must lie in [0, 3600] s, is -1." },
        { Take + "distance_mm = 5", "survey.toml:24: `distance_mm` belongs to near and free-field takes, and this one is in the room." },
        { Take + "field = \"far\"", "survey.toml:24: `field` must be one of room, near, free; is \"far\"." },
        { Take + "field = \"near\"\ndistance_mm = -5", "survey.toml:25: `distance_mm` must lie in [0, 100000] mm, is -5." },
        { Take + "drive_db = nan", "survey.toml:24: `drive_db` must lie in [-120, 60] dB, is NaN." },
        { Take + "use = \"no\"", "survey.toml:24: `use` must be true or false, is the text \"no\"." },
        { Take + "recorded_at = \"yesterday\"", "survey.toml:24: `recorded_at` must be a date with time without quotes such as 2026-10-18T20:15:00, is the text \"yesterday\"." },
        { Take + Take, "survey.toml:24: channel 1 of a.wav is a take twice, first on line 20." },
        { Take + Take.Replace("a.wav", "./a.wav"), "survey.toml:24: channel 1 of ./a.wav is a take twice, first on line 20." },
        { Take.Replace("a.wav", "../a.wav"), "survey.toml:21: the path \"../a.wav\" leaves the survey folder." },
        { Take.Replace("a.wav", "/etc/a.wav"), "survey.toml:21: the path \"/etc/a.wav\" is absolute." },
        { "[[take]]\nsources = [\"sub-left\"]\nseat = \"sofa\"", "survey.toml:20: [[take]] has no `file`." },
        { "[[take]]\nfile = \"a.wav\"\nseat = \"sofa\"", "survey.toml:20: [[take]] has no `sources`." },
        { "[[take]]\nfile = \"a.wav\"\nsources = []\nseat = \"sofa\"", "survey.toml:22: `sources` is empty." },
        { "[[take]]\nfile = \"a.wav\"\nsources = \"sub-left\"\nseat = \"sofa\"", "survey.toml:22: `sources` must be a list of texts such as [\"one\", \"two\"], is the text \"sub-left\"." },
        { "[[take]]\nfile = \"a.wav\"\nsources = [\"sub-left\", \"sub-left\"]\nseat = \"sofa\"", "survey.toml:22: `sources` names the same source twice." },
        { "[[take]]\nfile = \"a.wav\"\nsources = [\"sub-left\"]", "survey.toml:20: [[take]] has no `seat`. Add `seat` = one of sofa, sofa_2." },
        { "[take]\nfile = \"a.wav\"", "survey.toml:20: `take` must be a list: write [[take]] with two brackets on each side." },
        { "[[takes]]\nfile = \"a.wav\"", "survey.toml:20: `takes` is the pattern of file names, not a table. Write [[take]] for a take of its own." },
        { "[take-defaults]\nfile = \"a.wav\"", "survey.toml:21: [take-defaults] has no key `file`." },
        { "[take-defaults]\nmicrophone = \"omny\"\n" + Take, "survey.toml:21: there is no microphone \"omny\". Did you mean `omni`?" },
    };

    [Theory, MemberData(nameof(BadTakes))]
    public void A_bad_take_is_a_fault_of_the_survey_with_its_line(string text, string begin) =>
        Assert.StartsWith(begin, SurveyTexts.FaultOf(SurveyTexts.Plain + text), StringComparison.Ordinal);

    public static TheoryData<string, string, string> BadParts => new()
    {
        { "format = 1", "format = 2", "survey.toml:1: the survey is written in format 2; this version reads format 1." },
        { "format = 1\n", "", "survey.toml:1: the file has no `format`." },
        { "title  = ", "titel  = ", "survey.toml:2: the file has no key `titel`. Did you mean `title`?" },
        { "date   = 2026-10-18", "date = \"2026-10-18\"", "survey.toml:3: `date` must be a date without quotes such as 2026-10-18, is the text \"2026-10-18\"." },
        { "[[seat]]\nid = \"chair\"", "[[seat]]\nid = \"sofa-centre\"", "the seat \"sofa-centre\" is given twice, first on line " },
        { "length_m = 5.62", "length_m = 562", "survey.toml:6: `length_m` must lie in [0.5, 200] m, is 562." },
        { "height_m = 2.44\n", "", "survey.toml:5: [room] has no `height_m`." },
        { "temperature_c = 21.5", "temperature_c = 70", "`temperature_c` must lie in [-40, 60] °C, is 70." },
        { "delay_step_ms = 0.1", "delay_step_ms = 0", "`delay_step_ms` must lie in (0, 1000] ms, is 0." },
        { "filter_bands  = 8", "filter_bands  = 8.5", "`filter_bands` must be a whole number, is the number 8.5." },
        { "lowest_hz = 5.0", "lowest_hz = 50000.0", "the data sheet's highest frequency, 20000 Hz, is not above its lowest, 50000 Hz." },
        { "calibration_sign = \"correction\"", "calibration_sign = \"corection\"", "is \"corection\". Did you mean `correction`?" },
        { "calibration = \"microphones/omni-1.txt\"", "calibration = 3", "`calibration` must be a file, or a list of { angle_deg = 0.0, file = \"…\" }, is the number 3." },
        { "calibration = \"microphones/omni-1.txt\"", "calibration = \"../omni-1.txt\"", "the path \"../omni-1.txt\" leaves the survey folder." },
        { "angle_deg = 90", "angle_deg = 0", "0° is given twice." },
        { "angle_deg = 90", "angel_deg = 90", "has no key `angel_deg`. Did you mean `angle_deg`?" },
        { "kind = \"port\"", "kind = \"vent\"", "`kind` must be one of subwoofer, loudspeaker, cone, port, passive-radiator; is \"vent\"." },
        { "kind = \"port\"\n", "", "[[source]] has no `kind`." },
        { "effective_diameter_mm = 100", "effective_diameter_mm = 100\narea_cm2 = 80", "both `area_cm2` and `effective_diameter_mm` are given." },
        { "position_m = [0.40, 0.45, 0.20]", "position_m = [0.40, 0.45]", "`position_m` has 2 numbers." },
        { "position_m = [0.40, 0.45, 0.20]", "position_m = [0.40, 0.45, inf]", "`position_m` must lie in [-200, 200] m, is Infinity." },
        { "weight = 2", "weight = -2", "`weight` must lie in [0, 1000], is -2." },
        { "id = \"chair\"", "id = \"ch/air\"", "`id` is \"ch/air\". Use 1 to 64 letters, digits, hyphens and underscores." },
        { "id = \"chair\"", "id = \"\"", "`id` is \"\"." },
        { "delay_ms = { sub-left = 4.2 }", "delay_ms = { sub-lef = 4.2 }", "there is no source \"sub-lef\". Did you mean `sub-left`?" },
        { "delay_ms = { sub-left = 4.2 }", "delay_ms = { sub-left = -4.2 }", "`sub-left` must lie in [0, 10000] ms, is -4.2." },
        { "type = \"peak\"", "type = \"pek\"", "is \"pek\". Did you mean `peak`?" },
        { "q = 5", "q = 0", "`q` must lie in (0, 1000], is 0." },
    };

    [Theory, MemberData(nameof(BadParts))]
    public void A_bad_part_is_a_fault_that_names_it(string good, string bad, string problem)
    {
        Assert.Contains(good, SurveyTexts.Whole, StringComparison.Ordinal);
        var message = SurveyTexts.FaultOf(SurveyTexts.Whole.Replace(good, bad, StringComparison.Ordinal));
        Assert.Contains(problem, message, StringComparison.Ordinal);
        Assert.Matches(@"^survey\.toml:\d+: ", message);
    }

    [Fact]
    public void A_take_through_a_link_that_leaves_the_folder_is_refused()
    {
        using var folder = new SurveyFolder();
        folder.Put("survey.toml", SurveyTexts.Plain + Take.Replace("a.wav", "takes/a.wav"));
        File.CreateSymbolicLink(folder.At("takes"), Path.GetTempPath());
        Assert.StartsWith("survey.toml:21: the path \"takes/a.wav\" is a link that leaves the survey folder.", Assert.Throws<DataFault>(() => Survey.Read(folder.Path)).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_folder_without_a_survey_says_what_is_missing()
    {
        using var folder = new SurveyFolder();
        Assert.Contains("the folder has no survey.toml", Assert.Throws<DataFault>(() => Survey.Read(folder.Path)).Message, StringComparison.Ordinal);
        Assert.Contains("there is no such folder", Assert.Throws<DataFault>(() => Survey.Read(folder.At("none"))).Message, StringComparison.Ordinal);
        folder.Put("survey.toml", SurveyTexts.Plain);
        Assert.Contains("this is a file, not a survey folder", Assert.Throws<DataFault>(() => Survey.Read(folder.At("survey.toml"))).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_survey_that_declares_no_microphone_says_how() =>
        Assert.Contains("the survey declares no microphone. Add a [[microphone]] table with an id.",
            SurveyTexts.FaultOf(SurveyTexts.Plain.Replace("[[microphone]]\nid = \"omni\"\n", "") + Take), StringComparison.Ordinal);

    [Fact]
    public void A_missing_recording_is_no_fault_of_the_survey() => Assert.Single(SurveyTexts.Read(SurveyTexts.Plain + Take).Takes);
}
