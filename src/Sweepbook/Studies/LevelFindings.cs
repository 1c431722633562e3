// SPDX-License-Identifier: MIT
using Sweepbook.Filters;
using Sweepbook.Microphones;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>What there is to say about sensitivities, noise of the chain, and how loud the sweeps were.</summary>
internal static class LevelFindings
{
    private const double QuietWithinDb = 3;     // own choice: room and chain are then hardly more than the microphone
    private const double LoudDb = 105;          // own choice: bass of this level is hard on ears and drivers whatever its A-weighted level

    internal static IEnumerable<Finding> Of(Study study) =>
        [.. study.Sensitivities.Findings, .. study.Microphones.SelectMany(OfMicrophone), .. MicrophonePhase.Findings(study), .. study.Playback.Findings, .. Loudest(study)];

    private static IEnumerable<Finding> OfMicrophone(MicrophoneResult microphone)
    {
        foreach (var level in microphone.Levels)
        {
            var isUsed = microphone.Study.Takes.Any(take => take.IsUsed && take.Take.Microphone == microphone.Id && take.Take.InputGainDb == level.InputGainDb);
            if (!level.IsKnown)
            {
                if (isUsed && microphone.Study.Sensitivities.GainsOf(microphone.Id).Count > 0)
                    yield return new("sensitivity-gain", Severity.Caution, microphone.Id, level.InputGainDb ?? double.NaN, level.InputGainDb is null ? "" : "dB", $"{level.WhyNot} Levels of those takes stay relative.");
                continue;
            }
            var at = level.InputGainDb is null ? "" : Sensitivities.At(level.InputGainDb);
            var clips = double.IsNaN(level.StatedMaximumDb) ? "" : level.InputAboveMaximumDb < 0
                ? FormattableString.Invariant($", {-level.InputAboveMaximumDb:0.0} dB below the microphone's maximum of {level.StatedMaximumDb:0.#} dB: the input clips first")
                : FormattableString.Invariant($", {level.InputAboveMaximumDb:0.0} dB above the microphone's maximum of {level.StatedMaximumDb:0.#} dB: the microphone distorts before anything clips");
            yield return new("sensitivity", Severity.Note, microphone.Id, level.SensitivityDbfs, "dBFS", FormattableString.Invariant(
                $"{microphone.Id} reads {level.SensitivityDbfs:0.00} dBFS at 94 dB{at} ({level.Origin}{Steady(level)}), {(isUsed ? "so its levels are in dB re 20 µPa" : "but no take that could be used was made so")}; full scale is {level.FullScaleDb:0.0} dB{clips}."));
            if (double.IsFinite(level.EquivalentNoiseDba)) yield return Noise(microphone.Id, level, at);
        }
    }

    private static string Steady(MicrophoneLevel level) => level.Readings is [var only]
        ? FormattableString.Invariant($", {only.FromSeconds:0.0} to {only.ToSeconds:0.0} s, ± {only.FluctuationDb:0.00} dB at {only.FrequencyHz:0.0} Hz") : "";

    private static Finding Noise(string id, MicrophoneLevel level, string at)
    {
        var stated = double.IsNaN(level.StatedNoiseDba) ? "" : FormattableString.Invariant($"; the data sheet promises {level.StatedNoiseDba:0.#} dB(A), ")
            + (level.EquivalentNoiseDba < level.StatedNoiseDba - QuietWithinDb ? "which is more: check sensitivity and data sheet"
                : level.EquivalentNoiseDba <= level.StatedNoiseDba + QuietWithinDb ? "which is about this: the microphone itself is the limit" : "so most of it is the room or the input");
        return new("equivalent-noise", level.EquivalentNoiseDba < level.StatedNoiseDba - QuietWithinDb ? Severity.Caution : Severity.Note, id, level.EquivalentNoiseDba, "dB(A)", FormattableString.Invariant(
            $"Before the sweeps {id}{at} hears {level.EquivalentNoiseDba:0.0} dB(A), room and chain together, {level.SignalToNoiseDb:0} dB below 94 dB: an upper bound of the microphone's own noise{stated}."));
    }

    /// <summary>The loudest sweep at a seat where a level asks for care: its loudest third octave, its A-weighted level, and the time that is allowed.</summary>
    private static IEnumerable<Finding> Loudest(Study study)
    {
        var (place, aPlace, db, dba, hz, aHz) = ((ResponseResult?)null, (ResponseResult?)null, double.NegativeInfinity, double.NegativeInfinity, 0.0, 0.0);
        foreach (var result in study.Responses.Where(result => result.Response.Reference == LevelReference.SoundPressure && result.Takes[0].Field == SoundField.Room))
        {
            var levels = result.Response.SmoothedLevelsDb(3);
            for (var k = 0; k < levels.Length; k++)
            {
                if (!result.Response.LevelTrust[k]) continue;
                var frequencyHz = result.Response.Grid[k];
                if (levels[k] > db) (place, db, hz) = (result, levels[k], frequencyHz);
                if (levels[k] + Weighting.A.LevelDb(frequencyHz) is var weighted && weighted > dba) (aPlace, dba, aHz) = (result, weighted, frequencyHz);
            }
        }
        if (place is null || aPlace is null || (dba < Exposure.DayLevelDb && db < LoudDb)) yield break;
        var minutes = Exposure.AllowedMinutes(dba);
        yield return new("sound-level", Severity.Caution, $"{aPlace.Source} at {aPlace.Seat}", dba, "dB(A)", FormattableString.Invariant(
            $"The sweep of {place.Source} reaches {db:0.0} dB re 20 µPa at {place.Seat}, in the third octave of {FrequencyBand.ThirdOctaveAt(hz).Label} Hz, and {((aPlace.Source, aPlace.Seat) == (place.Source, place.Seat) ? "" : $"{aPlace.Source} at {aPlace.Seat} ")}{dba:0.0} dB(A) at {TakeLimits.Hertz(aHz)}: {Allowed(minutes)}. A-weighting hides loud bass (110 dB at 20 Hz are 59.5 dB(A)): leave the room or protect your ears, spare drivers and neighbours."));
    }

    private static string Allowed(double minutes) => minutes switch
    {
        0 => "no time at all by the common limit for ears",
        >= 24 * 60 => "a whole day by the common limit for ears",
        >= 120 => FormattableString.Invariant($"{minutes / 60:0.#} h a day by the common limit for ears"),
        >= 2 => FormattableString.Invariant($"{minutes:0} minutes a day by the common limit for ears"),
        _ => FormattableString.Invariant($"{minutes * 60:0} seconds a day by the common limit for ears"),
    };
}
