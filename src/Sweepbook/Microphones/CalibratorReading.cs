// SPDX-License-Identifier: MIT
using Sweepbook.Files;

namespace Sweepbook.Microphones;

/// <summary>What a recording of a calibrator's tone tells: the level that a known sound pressure reads, and how well.</summary>
/// <remarks>0 dBFS is the level of a sine that just reaches full scale. Source: beside <see cref="Of"/>.</remarks>
public readonly record struct CalibratorReading
{
    /// <summary>The level at which sensitivities are stated, in decibels re 20 µPa.</summary>
    public const double ReferenceDb = 94;

    private const double WantedSeconds = 2;            // own choice: eight independent blocks of a quarter of a second
    private const double SilentDbfs = -100;            // own choice: 6 dB above the noise of 16 bits; a tone of 94 dB reads far more
    private const double FrequencyPercent = 2;         // fact sheet 11.4: tolerance of class 2
    private const double MostFluctuationDb = 0.15;       // fact sheet 11.4: short-term fluctuation of class 2
    private const double WantedShareRatio = 0.5;       // own choice: a tone that is steady for less than half of its time is not steady
    private const double MostHarmonicsPercent = 3;     // common practice, no source; a sine clipped by 1 dB has 4 %
    private const double HumBelowDb = -40, WantedSnrDb = 30;   // own choices: beyond these something is wrong with the cable or the room

    /// <summary>Level of the tone in dBFS: power mean over the steady stretch.</summary>
    public double LevelDbfs { get; init; }

    /// <summary>Frequency of the tone in hertz, by the clock of the recorder.</summary>
    public double FrequencyHz { get; init; }

    /// <summary>± hertz, 95 %, from the scatter of the blocks; the clock's own error is not in it.</summary>
    public double FrequencyUncertaintyHz { get; init; }

    /// <summary>Start of the steady stretch that was used, in seconds from the start of the recording.</summary>
    public double FromSeconds { get; init; }

    /// <summary>End of that stretch, in seconds.</summary>
    public double ToSeconds { get; init; }

    /// <summary>± decibels by which the level wanders within the stretch, block by block of a quarter of a second.</summary>
    public double FluctuationDb { get; init; }

    /// <summary>The tone over everything that is neither tone, harmonic nor mains hum, unweighted, in decibels.</summary>
    public double SnrDb { get; init; }

    /// <summary>Mains hum, all lines together, in decibels re the tone; −∞ where none stands out of the noise.</summary>
    public double HumDb { get; init; }

    /// <summary>50 or 60 where there is hum, else NaN; hertz.</summary>
    public double HumHz { get; init; }

    /// <summary>Harmonics 2 to 5 over the tone, in percent.</summary>
    public double HarmonicsPercent { get; init; }

    /// <summary>What the calibrator is said to give, in decibels re 20 µPa.</summary>
    public double StatedLevelDb { get; init; }

    /// <summary>Frequency that the calibrator is said to give, in hertz.</summary>
    public double StatedHz { get; init; }

    /// <summary>Reading at 94 dB re 20 µPa, in dBFS: the level less what the calibrator gives above 94 dB.</summary>
    public double SensitivityDbfs => LevelDbfs - (StatedLevelDb - ReferenceDb);

    /// <summary>What lessens the trust in it, as a sentence; empty where nothing does.</summary>
    public string Caution { get; init; }

    /// <summary>Reads a calibrator's recording.</summary>
    /// <param name="samples">The microphone's channel, full scale ±1; silence and handling before and after the tone do not matter.</param>
    /// <param name="sampleRateHz">Sample rate in hertz, 4 000 or more.</param>
    /// <param name="levelDb">What the calibrator gives, in decibels re 20 µPa: 94 or 114 on most.</param>
    /// <param name="frequencyHz">Frequency of its tone in hertz, from 31.5 to 0.4 of the sample rate.</param>
    /// <param name="shownAs">What the recording is called in faults.</param>
    /// <returns>
    /// The reading over the longest stretch in which the level stays within ± 0.15 dB: two seconds or more, and half of the time that the tone sounds.
    /// Hum and noise beside the tone do not move it (0.01 dB at 10 dB of noise); they are stated, with a caution where there is much.
    /// </returns>
    /// <exception cref="ArgumentException">Rate, level or frequency are out of range, or a sample is not finite.</exception>
    /// <exception cref="DataFault">
    /// Too short, silent, no tone (music, speech, noise), another frequency by more than 2 %, an unsteady, clipped or distorted tone; each with what was found and what to do.
    /// </exception>
    /// <remarks>
    /// Misleads where the calibrator's coupler leaks, sits askew or does not fit the microphone: the tone is then steady and too low, and nothing in the
    /// recording tells. Also where the gain was changed between this and the takes. It says nothing about other frequencies.
    /// Source: level and frequency of a sine under a Hann window, F. J. Harris, Proc. IEEE 66 (1978) 51–83; limits from fact sheet 11.4, rest own choice.
    /// </remarks>
    public static CalibratorReading Of(ReadOnlySpan<double> samples, int sampleRateHz, double levelDb, double frequencyHz = 1000, string shownAs = "the calibrator's recording")
    {
        const int LowestRateHz = 4_000;
        const double LowestHz = 31.5, HighestOfRate = 0.4;
        ArgumentException.ThrowIfNullOrEmpty(shownAs);
        ArgumentOutOfRangeException.ThrowIfLessThan(sampleRateHz, LowestRateHz);
        if (!double.IsFinite(levelDb)) throw new ArgumentOutOfRangeException(nameof(levelDb), levelDb, "Must be finite, 94 or 114 dB on most calibrators.");
        if (!(frequencyHz >= LowestHz && frequencyHz <= HighestOfRate * sampleRateHz))
            throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, FormattableString.Invariant($"Must be in [{LowestHz}, {HighestOfRate * sampleRateHz}] Hz."));
        foreach (var sample in samples)
            if (!double.IsFinite(sample)) throw new ArgumentException("Holds a sample that is not finite.", nameof(samples));
        var blocks = new ToneBlocks(samples, sampleRateHz, frequencyHz);
        var tone = blocks.Tone;
        RefuseWhatIsNoTone(blocks, frequencyHz, shownAs);
        var stretch = blocks.Steadiest(2 * MostFluctuationDb);
        if (stretch.Seconds < WantedSeconds || stretch.Seconds < WantedShareRatio * tone.Seconds) throw NotSteady(blocks, stretch, shownAs);
        var reading = blocks.Read(stretch) with { StatedLevelDb = levelDb, StatedHz = frequencyHz };
        if (Math.Abs(reading.FrequencyHz - frequencyHz) > FrequencyPercent / 100 * frequencyHz) throw WrongFrequency(reading.FrequencyHz, frequencyHz, shownAs);
        if (blocks.ClippedIn(stretch) is > 0 and var clipped)
            throw new DataFault(shownAs, null, $"the tone is clipped: {clipped} samples are at full scale", "Turn the input's gain down, record the tone again, and leave the gain there for the takes.");
        if (reading.HarmonicsPercent > MostHarmonicsPercent)
            throw new DataFault(shownAs, null, FormattableString.Invariant($"the tone is distorted: its harmonics are {reading.HarmonicsPercent:0.0} % of it"),
                "Something clips before the converter, or the microphone is overloaded: turn the gain down, use 94 instead of 114 dB, and record again.");
        return reading with { Caution = CautionOf(reading) };
    }

    private const string Again = "Record ten seconds of the calibrator's tone again.";

    private static void RefuseWhatIsNoTone(ToneBlocks blocks, double frequencyHz, string shownAs)
    {
        if (blocks.TotalSeconds < WantedSeconds)
            throw new DataFault(shownAs, null, FormattableString.Invariant($"is {blocks.TotalSeconds:0.0} s long; a sensitivity needs {WantedSeconds:0} s of steady tone"), Again);
        if (blocks.LoudestDbfs < SilentDbfs)
            throw new DataFault(shownAs, null, FormattableString.Invariant($"is silent: it stays below {SilentDbfs:0} dBFS"), "Check the channel (microphone_channel), the cable, phantom power, and that the calibrator was on; record again.");
        if (blocks.Tone.Seconds >= WantedSeconds) return;
        if (blocks.OtherHz is { } otherHz) throw WrongFrequency(otherHz, frequencyHz, shownAs);
        if (blocks.Tone.Seconds > 0 && blocks.Tone.Seconds > WantedShareRatio * blocks.SoundingSeconds)
            throw new DataFault(shownAs, null, FormattableString.Invariant($"holds {blocks.Tone.Seconds:0.0} s of tone; a sensitivity needs {WantedSeconds:0} s of steady tone"), Again);
        throw new DataFault(shownAs, null, FormattableString.Invariant($"holds no calibrator's tone: the line near {frequencyHz:0.#} Hz has {100 * blocks.ShareRatio:0} % of the power, where a calibrator's has nearly all. Music, speech and noise look like that"),
            $"Name the right recording, put the calibrator onto the microphone and switch it on. {Again}");
    }

    private static DataFault NotSteady(ToneBlocks blocks, ToneBlocks.Stretch stretch, string shownAs)
    {
        const double Ends = 0.5;   // seconds: the blocks at either end of a stretch are not used
        var tone = blocks.Tone;
        if (blocks.RangeDb > 2 * MostFluctuationDb)
            return new(shownAs, null, FormattableString.Invariant($"the tone is not steady: it sounds for {tone.Seconds:0.0} s and wanders by {blocks.RangeDb:0.0} dB, and stays within ± {MostFluctuationDb} dB for {stretch.Seconds:0.0} s only"),
                "Seat the calibrator firmly, wait until its level stands still (a weak battery makes it sink), keep hands off, and record ten seconds again.");
        return tone.Seconds <= stretch.Seconds + Ends
            ? new(shownAs, null, FormattableString.Invariant($"the tone is too short: it sounds for {tone.Seconds:0.0} s, of which {stretch.Seconds:0.0} s are clear of its ends, and a sensitivity needs {WantedSeconds:0} s"), Again)
            : new(shownAs, null, FormattableString.Invariant($"the tone is interrupted: it sounds for {tone.Seconds:0.0} s in all, and for {stretch.Seconds:0.0} s only without a break or a bump"), $"Keep hands and cable still. {Again}");
    }

    private static DataFault WrongFrequency(double foundHz, double statedHz, string shownAs) => ToneBlocks.MainsOf(foundHz) is { } mainsHz && Math.Abs(foundHz - statedHz) > statedHz / 10
        ? new(shownAs, null, FormattableString.Invariant($"the loudest tone is {foundHz:0.0} Hz, mains hum of {mainsHz:0} Hz, and not the calibrator's {statedHz:0.#} Hz"), "Check cable, ground and phantom power, see that the calibrator is on, and record again.")
        : new(shownAs, null, FormattableString.Invariant($"the tone is {foundHz:0.0} Hz, not {statedHz:0.#} Hz"),
            FormattableString.Invariant($"If the calibrator gives {Math.Round(foundHz, foundHz < 100 ? 1 : 0)} Hz, write that as frequency_hz; if not, see that this is its recording, that its battery is good and that the file has the right sample rate."));

    private static string CautionOf(CalibratorReading reading) => string.Join(" ", new[]
    {
        reading.HumDb > HumBelowDb ? FormattableString.Invariant($"Mains hum of {reading.HumHz:0} Hz is {(reading.HumDb < 0 ? FormattableString.Invariant($"only {-reading.HumDb:0} dB below the tone") : "as loud as the tone or louder")}: look for it in cable and ground before the takes.") : "",
        reading.SnrDb < WantedSnrDb ? FormattableString.Invariant($"Noise is only {reading.SnrDb:0} dB below the tone: is it quiet, and is the coupler tight?") : "",
    }.Where(text => text.Length > 0));
}
