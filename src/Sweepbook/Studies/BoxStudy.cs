// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Nearfield;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Puts the near-field takes of one box together, and joins their sum to its free-field takes.</summary>
internal static class BoxStudy
{
    private const double SquareCmPerSquareM = 10_000;
    private const double MmPerMetre = 1000;
    private static readonly SourceKind[] Parts = [SourceKind.Cone, SourceKind.Port, SourceKind.PassiveRadiator];

    /// <summary>What takes must share to be added, apart from the time zero.</summary>
    private readonly record struct Circumstances(string Setting, string Microphone, string? Stimulus, double? DriveDb, double? InputGainDb)
    {
        internal static Circumstances Of(Take take) => new(take.Setting, take.Microphone, take.Stimulus, take.DriveDb, take.InputGainDb);

        /// <summary>In what two differ, as nouns.</summary>
        internal IEnumerable<string> DifferenceTo(Circumstances other)
        {
            if (Setting != other.Setting) yield return $"setting ({Setting}, {other.Setting})";
            if (Microphone != other.Microphone) yield return $"microphone ({Microphone}, {other.Microphone})";
            if (Stimulus != other.Stimulus) yield return "stimulus";
            if (DriveDb != other.DriveDb) yield return "drive";
            if (InputGainDb != other.InputGainDb) yield return "input gain";
        }
    }

    internal static IReadOnlyList<BoxResult> Of(Study study)
    {
        var boxes = new List<BoxResult>();
        foreach (var box in study.Survey.Sources.Where(source => source.PartOf is not null && Parts.Contains(source.Kind)).GroupBy(source => source.PartOf!))
        {
            var sources = box.ToList();
            var near = study.Responses.Where(result => result.Takes[0] is { Field: SoundField.Near, Sources.Count: 1 } take && sources.Exists(source => source.Id == take.Sources[0])).ToList();
            if (near.Count == 0) continue;
            var groups = near.GroupBy(result => Circumstances.Of(result.Takes[0])).Select(group => (group.Key, Results: group.ToList())).ToList();
            var complete = groups.Where(group => sources.TrueForAll(source => group.Results.Exists(result => result.Source == source.Id))).ToList();
            foreach (var group in complete) boxes.Add(new(study, box.Key, Chosen(sources, group.Results), null));
            if (complete.Count > 0) continue;
            var largest = groups.MaxBy(group => group.Results.Select(result => result.Source).Distinct().Count());
            boxes.Add(new(study, box.Key, Chosen(sources, largest.Results), WhyIncomplete(sources, near, largest.Key, largest.Results)));
        }
        return boxes;
    }

    /// <summary>One response per source: of one time group where there is one that all share, else the first; the nearest of these.</summary>
    private static IReadOnlyList<ResponseResult> Chosen(List<Source> sources, List<ResponseResult> results)
    {
        var shared = results.Select(result => result.ImpulseResponse.TimeGroup).FirstOrDefault(group => group.Name is not null
            && sources.TrueForAll(source => results.Exists(result => result.Source == source.Id && result.ImpulseResponse.TimeGroup.Shares(group))));
        return [.. sources.Select(source => results.Where(result => result.Source == source.Id)
                .OrderBy(result => shared.Name is not null && !result.ImpulseResponse.TimeGroup.Shares(shared)).ThenBy(result => result.Takes[0].DistanceMm ?? double.PositiveInfinity).FirstOrDefault())
            .OfType<ResponseResult>()];
    }

    private static string WhyIncomplete(List<Source> sources, List<ResponseResult> near, Circumstances kept, List<ResponseResult> results)
    {
        var missing = sources.First(source => !results.Exists(result => result.Source == source.Id));
        var present = results[0].Source;
        if (near.Find(result => result.Source == missing.Id) is not { } other)
            return $"{missing.Id} is part of the box \"{missing.PartOf}\" but was not taken close up, or its take could not be used. Take it with field = \"near\", with the same time zero as {present}, or take its part_of out.";
        var differences = StudyFindings.Listed(kept.DifferenceTo(Circumstances.Of(other.Takes[0])));
        return $"{present} and {missing.Id} were not taken alike: they differ in {differences}, so their sum would not be that of one box. Take both with one microphone and the same settings, one after the other.";
    }

    internal static NearfieldSum? SumOf(BoxResult box, out string? whyNot)
    {
        var sources = box.Responses.Select(result => box.Study.Survey.Source(result.Source)).ToList();
        whyNot = sources.Find(source => source.AreaCm2 is null) is { } bare ? WhyNoArea(bare) : box.WhyIncomplete;
        if (whyNot is not null) return null;
        try
        {
            return NearfieldSum.Of([.. box.Responses.Select(result => RadiatorOf(box.Study, result))], box.Size ?? default, box.Study.SpeedOfSoundMetresPerSecond);
        }
        catch (ArgumentException refusal)   // no time zero, grids, no cone
        {
            whyNot = refusal.Message.Split(" (Parameter")[0];
            return null;
        }
    }

    private static string WhyNoArea(Source source) =>
        $"{Survey.FileName}:{source.Line}: {source.Id} has no area, so nobody knows how much air moves behind its pressure. Write area_cm2 or effective_diameter_mm of one {(source.Kind == SourceKind.Port ? "port" : "cone")}, and count where several equal ones play.";

    private static Radiator RadiatorOf(Study study, ResponseResult result)
    {
        var source = study.Survey.Source(result.Source);
        return new(source.Id, source.Kind switch { SourceKind.Cone => RadiatorKind.Cone, SourceKind.Port => RadiatorKind.Port, _ => RadiatorKind.PassiveRadiator },
            result.Response, source.AreaCm2!.Value / SquareCmPerSquareM, result.Takes[0].DistanceMm / MmPerMetre ?? double.NaN, source.Count)
        {
            Place = source is { FromLeftMetres: { } left, FromBottomMetres: { } bottom } ? (left, bottom) : null,
        };
    }

    internal static BaffleDiffraction? DiffractionOf(BoxResult box, double distanceMetres, double speedOfSound)
    {
        if (box.Size is not { } size) return null;
        var cone = box.Responses.Select(result => box.Study.Survey.Source(result.Source)).FirstOrDefault(source => source.Kind == SourceKind.Cone);
        if (cone?.AreaCm2 is not { } area) return null;
        var radius = Math.Sqrt(area / SquareCmPerSquareM / Math.PI);
        if (cone.FromLeftMetres is null && 2 * radius > Math.Min(size.WidthMetres, size.HeightMetres)) return null;   // it sits on another face
        return new(size.WidthMetres, size.HeightMetres, cone.FromLeftMetres ?? size.WidthMetres / 2, cone.FromBottomMetres ?? size.HeightMetres / 2, radius, distanceMetres, speedOfSound);
    }

    /// <summary>Free-field responses of the whole box, or of all of its parts played together, whose levels can be set beside those of the box.</summary>
    internal static IEnumerable<ResponseResult> Gated(BoxResult box) => box.Study.Responses.Where(result => result.Takes[0] is { Field: SoundField.Free, DistanceMm: > 0 } take
        && take.Sources.All(id => box.Study.Survey.Source(id).PartOf == box.Id) && take.Setting == box.Setting && WhyOtherMicrophone(box, result) is null);

    private static string? WhyOtherMicrophone(BoxResult box, ResponseResult gated) =>
        gated.Microphone == box.Responses[0].Microphone || (IsAbsolute(box.Responses[0]) && IsAbsolute(gated)) ? null
        : $"The near field was heard by {box.Responses[0].Microphone} and the free field by {gated.Microphone}, and by how much one is more sensitive is not known. Take both with one microphone, or record a calibrator with each.";

    private static bool IsAbsolute(ResponseResult result) => result.Response.Reference == LevelReference.SoundPressure;

    internal static FreeFieldSplice Splice(BoxResult box, ResponseResult gated) => Joint(box, gated).Splice;

    /// <summary>The sum as it would arrive at the microphone of a free-field take, edges, drive and gain reckoned with.</summary>
    internal static Response NearAt(BoxResult box, ResponseResult gated) => Joint(box, gated).Near;

    private static (Response Near, FreeFieldSplice Splice) Joint(BoxResult box, ResponseResult gated)
    {
        var take = gated.Takes[0];
        if (take.Field != SoundField.Free) throw new ArgumentException($"{take.File} is no free-field take. Take the box outdoors or gate it before the first reflection, and say field = \"free\".", nameof(gated));
        if (take.DistanceMm is not > 0) throw new ArgumentException($"{take.File} states no distance, so the near field cannot be brought there. Write distance_mm in its [[take]].", nameof(gated));
        var (sum, near, metres) = (box.Sum, box.Responses[0].Takes[0], take.DistanceMm.Value / MmPerMetre);
        var edges = box.DiffractionAt(metres);
        var turns = edges is null ? null : sum.Response.Grid.ToArray().Select(edges.At).ToArray();
        var inputDb = IsAbsolute(gated) ? 0 : take.InputGainDb - near.InputGainDb ?? 0;   // a sound pressure level knows its input's gain
        var driveDb = take.DriveDb - near.DriveDb ?? 0;
        var joint = At(inputDb + driveDb);
        if (WhyOtherMicrophone(box, gated) is { } why) return (joint.Near, FreeFieldSplice.None(why));
        // A response over the loopback changes with the drive only where the drive was set behind the loopback; which of the two it was shows in the level.
        if (driveDb == 0 || gated.Response.Reference != LevelReference.Loopback) return joint;
        var inLoopback = At(inputDb);
        return Math.Abs(inLoopback.Splice.LevelMismatchDb) < Math.Abs(joint.Splice.LevelMismatchDb) ? inLoopback : joint;

        (Response Near, FreeFieldSplice Splice) At(double gainDb)
        {
            var far = sum.Far(edges is null ? sum.Response : sum.UntilCones, metres, FieldSpace.Half, Decibels.ToAmplitudeRatio(gainDb));
            var nearAt = turns is null ? far : far.Times(turns);
            return (nearAt, FreeFieldSplice.Of(nearAt, gated.Response));
        }
    }
}
