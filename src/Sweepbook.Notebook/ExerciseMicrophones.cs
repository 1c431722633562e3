// SPDX-License-Identifier: MIT
using Sweepbook.Microphones;
using Sweepbook.Quantities;

namespace Sweepbook.Notebook;

public sealed partial class Exercise
{
    /// <summary>Which sound pressure (root mean square) is a level? In pascals, within 1 %.</summary>
    /// <param name="levelDb">The level in decibels re 20 µPa.</param>
    /// <returns>The exercise.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The level is infinite or NaN.</exception>
    /// <remarks>Source: as for <see cref="MicrophoneLevel.PressureInPascals"/>.</remarks>
    public static Exercise SoundPressure(double levelDb)
    {
        Finite(levelDb, nameof(levelDb));
        var pascals = MicrophoneLevel.PressureInPascals(levelDb);
        return new("The sound pressure", pascals, AnswerUnit.Pascals, CalculatedShare,
            "A level of pressures is 20 times the decimal logarithm of their ratio, here to twenty micropascals. Go back from the level to the ratio, and multiply.",
            "Twenty decibels are a factor of ten in pressure. That is why a louder calibrator drowns the room's noise, and why a sensitive input clips at it.",
            new(Math.Sqrt(2) * pascals, "That is the peak of the sine. Levels are about the root mean square."),
            new(2 * Math.Sqrt(2) * pascals, "That is from the lowest point of the sine to its highest. Levels are about the root mean square."),
            new(pascals / Math.Sqrt(2), "The ratio already is one of root mean squares: nothing is left to divide by the root of two."),
            new(20e-6 * Decibels.ToPowerRatio(levelDb), "That takes 10^(L/10), a ratio of powers. Pressures go with 10^(L/20)."),
            new(Decibels.ToAmplitudeRatio(levelDb), "That is the ratio alone. It still has to be multiplied by the twenty micropascals that it is a ratio to."),
            new(MicrophoneLevel.PressureInPascals(levelDb - 20), "Twenty decibels are missing: the exponent was a tenth part short of the whole."));
    }

    /// <summary>How far does the noise of a chain lie below the calibrator's usual level? In decibels, within 0.06 dB.</summary>
    /// <param name="equivalentNoiseDb">The equivalent noise in dB(A), finite.</param>
    /// <returns>The exercise.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The noise is infinite or NaN.</exception>
    /// <remarks>A lower bound where the room is in the noise. Source: as for <see cref="MicrophoneLevel.SignalToNoiseDb"/>, fact sheet 11.8.</remarks>
    public static Exercise SignalToNoise(double equivalentNoiseDb)
    {
        Finite(equivalentNoiseDb, nameof(equivalentNoiseDb));
        const double Louder = 114, NotMeant = 100;
        return new("The signal-to-noise ratio", CalibratorReading.ReferenceDb - equivalentNoiseDb, AnswerUnit.Decibels, LevelDb,
            "Data sheets state it for a sound pressure of one pascal. Which level is that, and how far below it does the noise lie?",
            "It compares microphones, not takes: what counts in a take is how far your sweep lies above this noise in each band.",
            new(Louder - equivalentNoiseDb, "That is re the louder of the two usual calibrators. Data sheets go by one pascal."),
            new(NotMeant - equivalentNoiseDb, "One pascal is not a round hundred decibels."),
            new(CalibratorReading.ReferenceDb + equivalentNoiseDb, "The two were added. A ratio in decibels is a difference."),
            new(equivalentNoiseDb, "That is the noise itself; the question is how far it lies below one pascal."));
    }

    /// <summary>How much headroom has a microphone at the middle of a cone? In decibels, within 0.06 dB.</summary>
    /// <param name="maximumDb">The loudest that it takes, in dB re 20 µPa, finite.</param>
    /// <param name="levelDb">The level that the cone makes at 1 m in half space, in dB re 20 µPa, finite.</param>
    /// <param name="areaSquareMetres">Area of the cone in square metres, above zero.</param>
    /// <returns>The exercise.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An argument is outside its interval.</exception>
    /// <remarks>In the bass, for a sine or a sweep. Source: as for <see cref="Piston.CloseLevelDb"/>: p at the cone over p at 1 m is 2 m over the radius.</remarks>
    public static Exercise HeadroomAtCone(double maximumDb, double levelDb, double areaSquareMetres)
    {
        Finite(maximumDb, nameof(maximumDb));
        Finite(levelDb, nameof(levelDb));
        if (!(areaSquareMetres > 0 && double.IsFinite(areaSquareMetres))) throw new ArgumentOutOfRangeException(nameof(areaSquareMetres), areaSquareMetres, "Must be in (0, ∞) m².");
        var radius = Math.Sqrt(areaSquareMetres / Math.PI);
        double Left(double gainDb) => maximumDb - levelDb - gainDb;
        return new("The headroom", maximumDb - Piston.CloseLevelDb(levelDb, areaSquareMetres, 0), AnswerUnit.Decibels, LevelDb,
            "Find the radius of the cone. The pressure at the cone is to that at one metre as two metres are to the radius. Turn that ratio into decibels, add it to the level, and see what is left.",
            "Close to a cone a harmless level is a very loud one. Three decibels are wanted; with less, turn down before the microphone goes there.",
            new(maximumDb - levelDb, "That is the headroom at one metre. At the cone it is far louder."),
            new(Left(Decibels.FromPower(2 / radius)), "That took 10 lg of a ratio of pressures, which is for powers."),
            new(Left(Decibels.FromAmplitude(1 / radius)), "A factor of two is missing: the pressure at the cone is to that at one metre as two metres are to the radius."),
            new(Left(Decibels.FromAmplitude(1 / (2 * radius))), "That divides one metre by the diameter; it is two metres over the radius."),
            new(Left(Decibels.FromAmplitude(2 / areaSquareMetres)), "That divides by the area. What counts is the radius."),
            new(Left(Decibels.FromAmplitude(2 / Math.Sqrt(areaSquareMetres))), "That divides by the root of the area, the side of a square. The cone is round: its radius is the root of its area over π."),
            new(Left(-Decibels.FromAmplitude(2 / radius)), "The gain was taken off the level. It is louder at the cone, so that less is left."));
    }

    /// <summary>By how much does one microphone read more than another, because of their sensitivities? In decibels, within 0.06 dB.</summary>
    /// <param name="testedDbfs">Reading of the tested microphone at 94 dB, in dBFS, finite.</param>
    /// <param name="referenceDbfs">The same of the reference at the same input gain.</param>
    /// <returns>The exercise.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A reading is infinite or NaN.</exception>
    /// <remarks>At the calibrator's frequency; elsewhere their responses differ too. Source: the definition of sensitivity.</remarks>
    public static Exercise SensitivityOffset(double testedDbfs, double referenceDbfs)
    {
        Finite(testedDbfs, nameof(testedDbfs));
        Finite(referenceDbfs, nameof(referenceDbfs));
        var offset = testedDbfs - referenceDbfs;
        return new("The offset", offset, AnswerUnit.Decibels, LevelDb,
            "Both heard the same sound. The one whose reading is nearer to full scale reads more. Take the reference's reading off that of the tested microphone.",
            "It is no fault: sensitivities are what they are. Before two curves are compared it has to go.",
            new(offset / 2, "That is half of it: these are levels of pressures, 20 lg and not 10 lg."),
            new(2 * offset, "That is twice as much: the readings are decibels already, and their difference is all there is to it."),
            new(testedDbfs + referenceDbfs, "The readings were added. How much one is above the other is a difference."),
            new(testedDbfs, "That is the reading of the tested microphone alone."),
            new(referenceDbfs, "That is the reading of the reference alone."));
    }

    /// <summary>By how much does a microphone deviate in a band, if its recordings lie so much above the reference's there and so much in the middle? In decibels, within 0.06 dB.</summary>
    /// <param name="bandMoreDb">By how much its recording lies above the reference's in the band, in decibels, finite.</param>
    /// <param name="middleMoreDb">By how much in the middle band.</param>
    /// <returns>The exercise.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A number is infinite or NaN.</exception>
    /// <remarks>Misleads where the tested microphone tilts inside the middle band. Source: as for <see cref="MicrophoneComparison"/>.</remarks>
    public static Exercise MatchedDeviation(double bandMoreDb, double middleMoreDb)
    {
        Finite(bandMoreDb, nameof(bandMoreDb));
        Finite(middleMoreDb, nameof(middleMoreDb));
        return new("The deviation", bandMoreDb - middleMoreDb, AnswerUnit.Decibels, LevelDb,
            "What the two differ by in the middle is sensitivity and gain, and it is in every band. What is left of the band's difference without it?",
            "This is what belongs to the microphone, and what a calibration file would take off.",
            new(bandMoreDb, "The sensitivity is still in it: the middle was not taken off."),
            new(bandMoreDb + middleMoreDb, "The middle was added. It is in the band already, and has to come off."),
            new(middleMoreDb, "That is the difference in the middle, the sensitivity alone."),
            new((bandMoreDb + middleMoreDb) / 2, "That is the mean of the two differences."),
            new((bandMoreDb - middleMoreDb) / 2, "That is half of it. Levels are taken off whole."));
    }

    /// <summary>How far may two readings be apart, if several independent uncertainties have a hand in it? In decibels, within 0.03 dB.</summary>
    /// <param name="partsDb">The parts, ± decibels, all with the same coverage; two or more, each zero or more.</param>
    /// <returns>The exercise.</returns>
    /// <exception cref="ArgumentException">There are fewer than two parts.</exception>
    /// <exception cref="ArgumentOutOfRangeException">A part is below zero, infinite or NaN.</exception>
    /// <remarks>For parts that know nothing of each other; those of one cause add up as they are. Source: JCGM 100:2008 (GUM), 5.1.2.</remarks>
    public static Exercise CombinedUncertainty(params IReadOnlyList<double> partsDb)
    {
        const double HundredthsDb = 0.03;   // parts are stated to a tenth, and their plain sum must not pass for it
        ArgumentNullException.ThrowIfNull(partsDb);
        if (partsDb.Count < 2) throw new ArgumentException($"Got {partsDb.Count} parts; must be 2 or more.", nameof(partsDb));
        foreach (var part in partsDb)
            if (!(part >= 0 && double.IsFinite(part))) throw new ArgumentOutOfRangeException(nameof(partsDb), part, "Must be in [0, ∞) dB.");
        var squares = partsDb.Sum(part => part * part);
        return new("The combined uncertainty", Math.Sqrt(squares), AnswerUnit.Decibels, HundredthsDb,
            "Independent parts seldom err all in the same direction. Their squares add up; take the root of that.",
            "The largest part rules, and halving a small one helps nobody. Work on the largest.",
            new(partsDb.Sum(), "That is the plain sum: right only where all parts err together, each by its most."),
            new(squares, "That is the sum of the squares; its root is missing."),
            new(partsDb.Max(), "That is the largest part alone. It rules, but the others have a say."),
            new(partsDb.Average(), "That is the mean of the parts. More of them make the whole worse, not the same."),
            new(2 * Math.Sqrt(squares), "The coverage went in twice: the parts are stated for 95 % already."),
            new(Math.Sqrt(squares / partsDb.Count), "That is the root of the mean of the squares. The squares add up."));
    }

    private static void Finite(double value, string name)
    {
        if (!double.IsFinite(value)) throw new ArgumentOutOfRangeException(name, value, "Must be finite.");
    }
}
