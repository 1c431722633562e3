// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Quantities;

namespace Sweepbook.Microphones;

/// <summary>How far the loudest sound at a microphone lies below the loudest that it takes.</summary>
/// <param name="MaximumDb">The loudest that its data sheet allows, in dB re 20 µPa; NaN where nothing is stated.</param>
/// <param name="PeakDb">The loudest sound at the microphone, as the level of a sine of that peak in dB re 20 µPa, which is how maxima are stated; NaN where the level is not known.</param>
/// <param name="Sentence">The headroom as a person says it, with what to do where it is too small or not known.</param>
/// <remarks>
/// 3 dB are wanted (design, "What may be believed"). Misleads where the maximum is stated at much distortion: 3 % is usual for measurement microphones and 0.5 % for studio microphones, and about
/// 16 dB lie between the two (fact sheet 11.7); distortion measurements want far more headroom than levels do. Source: own definition.
/// </remarks>
public readonly record struct MicrophoneHeadroom(double MaximumDb, double PeakDb, string Sentence)
{
    /// <summary>Headroom that is wanted, in decibels.</summary>
    public const double WantedDb = 3;

    /// <summary>Maximum less peak in decibels; negative where it was too loud; NaN where it is not known.</summary>
    public double HeadroomDb => MaximumDb - PeakDb;

    /// <summary>True where a headroom is known.</summary>
    public bool IsKnown => double.IsFinite(HeadroomDb);

    /// <summary>True where it is known to be <see cref="WantedDb"/> at least; never for a take that clipped.</summary>
    public bool IsEnough => HeadroomDb >= WantedDb - Slack && !IsUpperBound;

    /// <summary>True where the recording clipped: the sound was louder, and the headroom smaller, by nobody knows how much.</summary>
    public bool IsUpperBound { get; init; }

    private const double Slack = 1e-9;   // 128 − 125 dB is enough, whatever binary fractions make of it

    /// <summary>From a take.</summary>
    /// <param name="microphone">The microphone.</param>
    /// <param name="maximumDb">Its maximum, or NaN.</param>
    /// <param name="peakDb">The loudest peak, or NaN.</param>
    /// <param name="take">The take that holds it.</param>
    /// <param name="isClipped">True where the recording clipped: the sound was louder still.</param>
    internal static MicrophoneHeadroom Measured(string microphone, double maximumDb, double peakDb, string take, bool isClipped)
    {
        if (double.IsNaN(peakDb))
            return new(maximumDb, peakDb, $"How loud it was at {microphone} is not known: record a calibrator's tone, or state sensitivity_dbfs_at_94db with the input_gain_db of the takes in survey.toml.");
        var loudest = Text($"the loudest sound at {microphone} was {(isClipped ? "more than " : "")}{peakDb:0.0} dB ({take})");
        if (double.IsNaN(maximumDb)) return new(maximumDb, peakDb, $"{Capital(loudest)}; whether it bears that is not known: state max_spl_db from its data sheet in survey.toml.");
        var known = new MicrophoneHeadroom(maximumDb, peakDb, "") { IsUpperBound = isClipped };
        var remedy = known.IsEnough ? "" : known.HeadroomDb >= WantedDb ? " The recording clipped: turn the input's gain down and record again, to know." : Text($" Turn down by {WantedDb - known.HeadroomDb:0.0} dB or more, or its own distortion is measured too.");
        var beside = isClipped && known.HeadroomDb >= 0 ? $"less than {Beside(known.HeadroomDb)}" : Beside(known.HeadroomDb);
        return known with { Sentence = $"{Capital(loudest)}, {beside} the {Level(maximumDb)} that it takes.{remedy}" };
    }

    /// <summary>Before the microphone goes close to a cone.</summary>
    /// <param name="microphone">The microphone.</param>
    /// <param name="maximumDb">Its maximum, or NaN.</param>
    /// <param name="source">The cone.</param>
    /// <param name="levelDb">The level at 1 m.</param>
    /// <param name="closeDb">What that is close to the cone.</param>
    /// <param name="distanceMetres">How close.</param>
    internal static MicrophoneHeadroom Expected(string microphone, double maximumDb, string source, double levelDb, double closeDb, double distanceMetres)
    {
        var place = distanceMetres == 0 ? $"at the cone of {source}" : Text($"{distanceMetres * 1000:0.#} mm from {source}");
        var expected = Text($"{levelDb:0.#} dB at 1 m are {closeDb:0.0} dB {place}");
        var caution = Caution(levelDb);
        if (double.IsNaN(maximumDb)) return new(maximumDb, closeDb, $"{expected}; whether {microphone} bears that is not known: state max_spl_db from its data sheet in survey.toml. {caution}");
        var known = new MicrophoneHeadroom(maximumDb, closeDb, "");
        var remedy = known.IsEnough ? "" : Text($" Turn down by {WantedDb - known.HeadroomDb:0.0} dB before it goes there.");
        return known with { Sentence = $"{expected}, {Beside(known.HeadroomDb)} the {Level(maximumDb)} that {microphone} takes.{remedy} {caution}" };
    }

    /// <summary>What stands beside every level that is proposed.</summary>
    private static string Caution(double levelDb)
    {
        var minutes = Exposure.AllowedMinutes(levelDb);
        var ears = levelDb <= Exposure.DayLevelDb ? "" : levelDb > Exposure.CeilingDb
            ? Text($"No ear should be at 1 m: above {Exposure.CeilingDb:0} dB(A) no time is allowed. ")
            : Text($"At 1 m ears may have {levelDb:0.#} dB(A) for {(minutes >= 1 ? $"{minutes:0} min" : $"{60 * minutes:0} s")} a day, and the A-weighting hides loud bass: stay away. ");
        return $"{ears}Raise the level slowly, and mind the cone, which moves farthest below the tuning of its box.";
    }

    private static string Beside(double headroomDb) => headroomDb >= 0 ? Text($"{headroomDb:0.0} dB below") : Text($"{-headroomDb:0.0} dB above");

    private static string Level(double levelDb) => Text($"{levelDb:0.#} dB");

    private static string Capital(string text) => char.ToUpperInvariant(text[0]) + text[1..];

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
