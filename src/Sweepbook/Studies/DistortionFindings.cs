// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Impulses;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>What the harmonics have to say: the highest distortion of each source, and whether the room's decay outlasts the space between the harmonics.</summary>
/// <remarks>
/// Over several seats the median of the total is taken at each fundamental, over those seats at which it stands clear and is believed, half of them at least: a dip
/// of the room at one seat makes much of a harmless harmonic there, and only there. Source: own definition.
/// </remarks>
internal static class DistortionFindings
{
    private const double MuchPercent = 10;         // design, "What may be believed": non-linearity
    private const double ToldAboveDb = -30;        // what runs into the response and changes it by more than 0.3 dB

    internal static IEnumerable<Finding> Of(Study study) => [.. Highest(study), .. Leads(study)];

    private static IEnumerable<Finding> Highest(Study study)
    {
        var hidden = new List<string>();
        foreach (var group in study.Responses.Where(result => result.Harmonics is not null).GroupBy(result => (result.Source, result.Setting, result.Takes[0].DriveDb, result.Takes[0].Field)))
        {
            var seats = group.ToList();
            var believed = seats.SelectMany(result => result.Harmonics!.Total.Where(point => point.IsTrusted && result.DoubtOf(point).Length == 0))
                .GroupBy(point => point.FundamentalHz).Where(points => 2 * points.Count() >= seats.Count).Select(Median).ToList();
            var name = Named(study, seats[0]);
            if (believed.Count == 0)
            {
                hidden.Add(name);
                continue;
            }
            var worst = believed.MaxBy(point => point.LevelDb);
            var strongest = Enumerable.Range(2, Harmonics.HighestOrder - 1).MaxBy(order => seats.Max(result => result.Harmonics!.OfOrder(order).Where(point => point.FundamentalHz == worst.FundamentalHz && point.IsTrusted).Select(point => point.LevelDb).DefaultIfEmpty(double.NegativeInfinity).Max()));
            yield return new("distortion", worst.Percent >= MuchPercent ? Severity.Caution : Severity.Note, name, worst.Percent, "%", string.Create(CultureInfo.InvariantCulture,
                $"The distortion of {name} is highest at {TakeLimits.Hertz(worst.FundamentalHz)}: {worst.Percent:0.0#} % ({Signed(worst.LevelDb)} dB re the fundamental{(seats.Count > 1 ? $", median of {seats.Count} {Words(seats)}" : "")}), most of it in harmonic {strongest}."));
        }
        if (hidden.Count > 0)
            yield return new("distortion-hidden", Severity.Note, "survey", hidden.Count, "sources", $"Of {StudyFindings.Listed(hidden)} no harmonic stands clear of noise and of its neighbours in half of the responses or more, so that the distortion is not known there; distortion.csv holds what it can be at most.");

        static string Words(List<ResponseResult> responses) => responses.DistinctBy(result => result.Seat).Count() == responses.Count ? "seats" : "responses";

        static HarmonicPoint Median(IEnumerable<HarmonicPoint> points)
        {
            var sorted = points.OrderBy(point => point.LevelDb).ToList();
            return sorted[sorted.Count / 2];
        }
    }

    /// <summary>The second harmonic comes out L · ln 2 before the response: a room that rings for longer carries its end into the response.</summary>
    private static IEnumerable<Finding> Leads(Study study)
    {
        foreach (var group in study.Responses.Where(result => result.Harmonics is { } harmonics && double.IsFinite(harmonics.SecondHarmonicLeadSeconds) && result.Takes[0].Field == SoundField.Room).GroupBy(result => result.Takes[0].Stimulus!))
        {
            var harmonics = group.First().Harmonics!;
            var lead = harmonics.SecondHarmonicLeadSeconds;
            var startHz = harmonics.StartHz;
            var slowest = study.Decays.Where(result => result.Take.Stimulus == group.Key).GroupBy(result => (result.Source, result.Setting, result.Microphone)).SelectMany(Surest)
                .SelectMany(result => result.ThirdOctaves.Where(decay => decay.Band.UpperHz <= DecayFindings.BassToHz * 1.2 && decay.Band.UpperHz > 2 * startHz).Select(decay => (result.Source, result.Seat, decay.Band, Time: decay.T30.IsValid ? decay.T30 : decay.T20)))   // no fundamental was played whose second harmonic lies in a lower band
                .Where(entry => entry.Time.IsValid).OrderByDescending(entry => entry.Time.Value - entry.Time.Uncertainty).ThenBy(entry => entry.Band.Index).FirstOrDefault();
            if (!slowest.Time.IsValid || slowest.Time.Value <= lead) continue;
            var fallenDb = 60 * lead / slowest.Time.Value;
            var playedHz = slowest.Band.NominalHz / 2;   // the second harmonic of this fundamental rings in that band
            var secondDb = group.SelectMany(result => result.Harmonics!.OfOrder(2).Where(point => point.IsTrusted && Math.Abs(Math.Log2(point.FundamentalHz / playedHz)) <= 0.5).Select(point => point.LevelDb + result.FallDb(2 * point.FundamentalHz, point.FundamentalHz))).DefaultIfEmpty(double.NegativeInfinity).Max();
            var needed = slowest.Time.Value / lead * harmonics.SweepSeconds;
            var known = double.IsFinite(secondDb) ? string.Create(CultureInfo.InvariantCulture, $"{Signed(secondDb - fallenDb)} dB re the response at the most, by the harmonic measured there") : string.Create(CultureInfo.InvariantCulture, $"for a harmonic of 1 % of the response {Signed(-40 - fallenDb)} dB re the response");
            yield return new("harmonic-lead", secondDb - fallenDb > ToldAboveDb ? Severity.Caution : Severity.Note, group.Key, lead, "s", string.Create(CultureInfo.InvariantCulture,
                $"At {slowest.Band.Label} Hz the room takes {slowest.Time.Value:0.00} s to decay ({slowest.Source}{(slowest.Seat == DecayResult.EnsembleSeat ? ", all seats together" : $" at {slowest.Seat}")}), longer than the {lead:0.00} s by which the second harmonic of the stimulus {group.Key} comes before the response: its reverberation, {fallenDb:0} dB down by then, runs into the response there ({known}), and that of each higher harmonic into the next lower one. A sweep of {Math.Ceiling(needed):0} s would keep them apart."));
        }
    }

    /// <summary>All seats together where there is such a decay: of many single ones the longest is mostly the luckiest.</summary>
    private static IEnumerable<DecayResult> Surest(IEnumerable<DecayResult> decays)
    {
        var ensemble = decays.Where(result => result.Seat == DecayResult.EnsembleSeat).ToList();
        return ensemble.Count > 0 ? ensemble : decays.Where(result => !result.IsMean);
    }

    private static string Named(Study study, ResponseResult result)
    {
        var others = study.Responses.Where(other => other.Source == result.Source).ToList();
        var words = new List<string>();
        if (others.Exists(other => other.Setting != result.Setting)) words.Add(result.Setting);
        if (others.Exists(other => other.Takes[0].DriveDb != result.Takes[0].DriveDb) && result.Takes[0].DriveDb is { } driveDb) words.Add($"drive {Signed(driveDb)} dB");
        if (others.Exists(other => other.Takes[0].Field != result.Takes[0].Field)) words.Add(result.Takes[0].Field == SoundField.Near ? "close to it" : result.Takes[0].Field == SoundField.Free ? "free field" : "in the room");
        return words.Count == 0 ? result.Source : $"{result.Source} ({string.Join(", ", words)})";
    }

    internal static string Signed(double levelDb) => string.Create(CultureInfo.InvariantCulture, $"{(Math.Round(levelDb, 1) < 0 ? "−" : "")}{Math.Abs(levelDb):0.#}");
}
