// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Nearfield;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>What near-field takes have to say: the sum and its tuning, whether cone and port fit each other, the upper limit, the joint with a free-field take, and what to mind.</summary>
internal static class BoxFindings
{
    private const double MostPortRatio = 0.25;      // own choice: crosstalk that nobody took off makes a tenth, an area taken for a diameter far more
    private const double MostSlopeDb = 6;           // own choice, from the 24 or 12 dB per octave: alignments differ by less half an octave below their tuning
    private const double DistantMm = 20;

    /// <summary>In place of what the seats differ by, where a survey is about boxes alone; null elsewhere.</summary>
    internal static Finding? Headline(Study study)
    {
        if (!study.HeardNoRoom) return null;
        var box = study.Boxes.FirstOrDefault(one => one.WhyNoSum is null);
        if (box is null) return new("nearfield", Severity.Caution, study.Boxes[0].Id, double.NaN, "", $"What {study.Boxes[0].Id} radiates is not known yet, because its cones and ports may not be added; the reason is given below.");
        var (sum, band) = (box.Sum, box.Sum.Response.LevelTrust.LongestBand());
        var tuned = double.IsNaN(sum.TuningHz) ? $"{box.Id}" : string.Create(CultureInfo.InvariantCulture, $"{box.Id} is tuned to {sum.TuningHz:0.0} Hz; it");
        var told = band.IsEmpty ? "may be believed nowhere from close up" : $"is known without the room from {band.Words}";
        var joined = box.Splices.Select(entry => entry.Splice).Where(splice => splice.IsJoined).Select(splice => splice.Points[^1].FrequencyHz).DefaultIfEmpty(double.NaN).Max();
        return new("nearfield", band.IsEmpty ? Severity.Caution : Severity.Note, box.Id, sum.TuningHz, "Hz",
            $"{tuned} {told}{(double.IsNaN(joined) ? "" : string.Create(CultureInfo.InvariantCulture, $", and joined to its free-field response up to {(joined >= 1000 ? $"{joined / 1000:0.#} kHz" : $"{joined:0} Hz")}"))}.");
    }

    internal static IEnumerable<Finding> Of(Study study)
    {
        foreach (var box in study.Boxes)
            foreach (var finding in box.WhyNoSum is { } why ? [Refused(study, box, why)] : About(box)) yield return finding;
        if (study.Boxes.Count > 0)
            yield return new("nearfield-caution", Severity.Caution, "survey", double.NaN, "",
                "Before the next take close to a cone turn the level down: some centimetres away it is 20 to 30 dB louder than at 1 m, which overloads microphones and harms ears; and below the tuning of a vented box nothing holds its cone.");
    }

    private static Finding Refused(Study study, BoxResult box, string why) => new("nearfield-refused", Severity.Caution, box.Id, double.NaN, "", $"The cones and ports of {box.Id}{Apart(study, box)} are not added: {why}");

    /// <summary>What tells this box from others of the same name: by whom it was heard, or in which setting.</summary>
    private static string Apart(Study study, BoxResult box)
    {
        var others = study.Boxes.Where(other => other.Id == box.Id).ToList();
        return (others.Exists(other => other.Responses[0].Microphone != box.Responses[0].Microphone) ? $" as {box.Responses[0].Microphone} heard them" : "")
            + (others.Exists(other => other.Setting != box.Setting) ? $" in the setting {box.Setting}" : "");
    }

    private static IEnumerable<Finding> About(BoxResult box)
    {
        var sum = box.Sum;
        var band = sum.Response.LevelTrust.LongestBand();
        yield return new("nearfield-sum", band.IsEmpty ? Severity.Caution : Severity.Note, box.Id, band.FromHz, "Hz",
            band.IsEmpty ? $"The sum of the cones and ports of {box.Id} may be believed nowhere ({band.LowReason.Sentence})."
            : $"Together {StudyFindings.Listed(sum.Radiators.Select(radiator => radiator.Name))} tell the far field of {box.Id} from {band.Words}: below, {band.LowReason.Sentence}; {sum.Limit.Reason}.");
        foreach (var finding in (sum.Sums.HasDriven ? Vented(box, sum) : Sealed(box, sum)).Concat(Doubts(box, sum))) yield return finding;
        foreach (var (gated, splice) in box.Splices) yield return Joint(box, gated, splice);
    }

    private static IEnumerable<Finding> Vented(BoxResult box, NearfieldSum sum)
    {
        var (check, invariant) = (sum.Check, CultureInfo.InvariantCulture);
        if (double.IsNaN(check.TuningHz))
        {
            yield return new("nearfield-tuning", Severity.Caution, box.Id, double.NaN, "Hz", $"No tuning of {box.Id} can be given: {check.WhyNot}. Check that both takes are of one box and reach well below its tuning.");
            yield break;
        }
        var between = sum.PhaseBetweenDegreesAt(Math.Max(check.TuningHz / 2, sum.Response.Grid[0]));
        var apart = double.IsNaN(between) ? "" : string.Create(invariant, $"; an octave below it port and cone are {Math.Abs(between):0}° apart");
        var slope = double.IsNaN(check.SlopeDbPerOctave) ? "" : string.Create(invariant, $", and from {check.SlopeFromHz:0.#} to {check.SlopeToHz:0.#} Hz their sum falls by {check.SlopeDbPerOctave:0.0} dB per octave");
        yield return new("nearfield-tuning", Severity.Note, box.Id, check.TuningHz, "Hz", string.Create(invariant, $"{box.Id} is tuned to {check.TuningHz:0.0} Hz{apart}{slope}."));
        if (check.IsReversed)
            yield return new("nearfield-polarity", Severity.Fault, box.Id, check.PortRatio, "", $"Below the tuning the port of {box.Id} should oppose the cone, but the two are in step: one of the takes is reversed. Check the leads and the polarity of both takes; the sum is wrong until then.");
        else if (sum.Sums.IsPlainVented && Math.Abs(check.PortRatio - 1) > MostPortRatio)
            yield return new("nearfield-balance", Severity.Caution, box.Id, check.PortRatio, "", string.Create(invariant,
                $"Beside the cone the port of {box.Id} reads {check.PortRatio:0.00} times what its box allows: check both areas (the pressure counts by the root of the area), both distances and the input's gain. The sum below the tuning is wrong until then."));
        if (!check.IsReversed && Math.Abs(check.SlopeDbPerOctave - 24) > MostSlopeDb)
            yield return new("nearfield-slope", Severity.Caution, box.Id, check.SlopeDbPerOctave, "dB/octave", string.Create(invariant,
                $"Below its tuning the sum of {box.Id} falls by {check.SlopeDbPerOctave:0.0} dB per octave where most vented boxes fall by about 24: check areas, distances, and that neither microphone heard the other opening. A driver whose own resonance lies far from the tuning, or a small box, does so too."));
    }

    private static IEnumerable<Finding> Sealed(BoxResult box, NearfieldSum sum)
    {
        var slope = sum.SlopeDbPerOctave;
        if (double.IsNaN(slope)) yield break;
        var fits = Math.Abs(slope - 12) <= MostSlopeDb;
        yield return new("nearfield-slope", fits ? Severity.Note : Severity.Caution, box.Id, slope, "dB/octave", string.Create(CultureInfo.InvariantCulture,
            $"{box.Id} has no port in the survey and falls by {slope:0.0} dB per octave from {sum.Check.SlopeToHz:0.#} Hz down{(fits ? ", as a sealed box does." : ", where a sealed box falls by about 12: look for a port or a leak that was not taken.")}"));
    }

    private static IEnumerable<Finding> Doubts(BoxResult box, NearfieldSum sum)
    {
        var unstated = sum.Radiators.Where(radiator => !radiator.IsDistanceStated).Select(radiator => radiator.Name).ToList();
        if (unstated.Count > 0)
            yield return new("nearfield-distance", Severity.Caution, box.Id, unstated.Count, "takes", $"The microphone's distance from {StudyFindings.Listed(unstated)} is not stated: 0 mm is assumed, give or take 10 mm. Write distance_mm in the [[take]].");
        var far = sum.Radiators.Where(radiator => radiator.DistanceMetres * 1000 > DistantMm).Select(radiator => radiator.Name).ToList();
        if (far.Count > 0)
            yield return new("nearfield-distance", Severity.Note, box.Id, far.Count, "takes", $"The microphone stood more than {DistantMm:0} mm from {StudyFindings.Listed(far)}: what it lost by that is put back, but it heard more of the room and of the other radiators.");
        if (sum.Sums.HasDriven && !sum.IsCrosstalkTakenOff)
            yield return new("nearfield-crosstalk", Severity.Note, box.Id, double.NaN, "",
                $"What the microphone heard of the other opening of {box.Id} is not taken off. Where both are on one front that may change the sum by some decibels below the tuning: write baffle_position_m for every cone and port{(sum.Radiators.Any(radiator => radiator.Count > 1) ? ", each as a [[source]] of its own" : "")}. Where they are on different sides of the box nothing need be done.");
    }

    private static Finding Joint(BoxResult box, ResponseResult gated, FreeFieldSplice splice) => splice.IsJoined
        ? new("nearfield-joint", Severity.Note, box.Id, splice.OverlapOctaves, "octaves", string.Create(CultureInfo.InvariantCulture,
            $"The near field of {box.Id} and its free-field response ({gated.Takes[0].File}) overlap from {splice.OverlapFromHz:0} to {splice.OverlapToHz:0} Hz ({splice.OverlapOctaves:0.0} octaves); there the free field lies {splice.LevelMismatchDb:+0.0;-0.0;0.0} dB from the near field and its slope differs by {splice.SlopeMismatchDbPerOctave:+0.0;-0.0;0.0} dB per octave, so the two are joined."))
        : new("nearfield-joint", Severity.Caution, box.Id, splice.OverlapOctaves, "octaves", $"The near field of {box.Id} and its free-field response ({gated.Takes[0].File}) are not joined. {splice.WhyNot}");
}
