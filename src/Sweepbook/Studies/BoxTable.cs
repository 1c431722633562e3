// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Nearfield;
using Sweepbook.Quantities;
using Sweepbook.Spectra;

namespace Sweepbook.Studies;

/// <summary>
/// <c>nearfield.csv</c>: each cone and port as it enters the sum, the sum, the far field at 1 m in half space, and each joint with a free-field response; one row per frequency up to
/// the limit of the cones (a joint: as far as it goes). Uncertainties are ± decibels in 95 %, without the microphone's own, which shifts all rows alike. No file where no box was measured close up.
/// </summary>
internal static class BoxTable
{
    internal const string FileName = "nearfield.csv";
    internal const double FarMetres = 1;

    internal static CsvTable? Of(Study study)
    {
        if (study.Boxes.Count == 0) return null;
        var table = new CsvTable(CsvColumn.Text("box"), CsvColumn.Text("setting"), CsvColumn.Text("microphone"), CsvColumn.Text("part"), CsvColumn.Text("source"), CsvColumn.Metres("distance_m"),
            CsvColumn.Hertz("frequency_hz"), CsvColumn.Decibels("level_db"), CsvColumn.Text("level_reference"), CsvColumn.Degrees("phase_deg"), CsvColumn.Decibels("uncertainty_db"), CsvColumn.Boolean("trusted"), CsvColumn.Text("reason"));
        foreach (var box in study.Boxes.Where(box => box.WhyNoSum is null))
        {
            var sum = box.Sum;
            for (var i = 0; i < sum.Parts.Count; i++)
                Add(Word(sum.Radiators[i].Kind), sum.Radiators[i].Name, CsvCell.Empty, sum.Parts[i], point => point.Uncertainty.RepeatabilityDb);
            var sources = string.Join('+', sum.Radiators.Select(radiator => radiator.Name));
            Add("sum", sources, CsvCell.Empty, sum.Response, WithoutMicrophone);
            Add("far", sources, FarMetres, sum.FarField(FarMetres, FieldSpace.Half), WithoutMicrophone);
            foreach (var (gated, splice) in box.Splices)
                foreach (var point in splice.Points)
                    table.Add(box.Id, box.Setting, gated.Microphone, "joined", gated.Source, gated.Takes[0].DistanceMm / 1000, point.FrequencyHz, point.LevelDb, gated.Response.LevelReference, CsvCell.Empty, CsvCell.Empty, true,
                        point.NearShare switch { 1 => "near field", 0 => "free field", _ => "both" });

            void Add(string part, string source, CsvCell distance, Response response, Func<ResponsePoint, double> uncertaintyDb)
            {
                foreach (var point in response.Points().TakeWhile(point => point.FrequencyHz <= sum.ConeLimit.FrequencyHz))
                    table.Add(box.Id, box.Setting, box.Responses[0].Microphone, part, source, distance, point.FrequencyHz, point.LevelDb, response.LevelReference, point.PhaseDegrees,
                        uncertaintyDb(point), point.TrustedLevel, (point.TrustedLevel ? point.PhaseReason : point.LevelReason).Sentence);
            }
        }
        return table;
    }

    private static double WithoutMicrophone(ResponsePoint point) => (point.Uncertainty with { MicrophoneDb = 0 }).ExpandedDb;

    private static string Word(RadiatorKind kind) => kind == RadiatorKind.PassiveRadiator ? "passive-radiator" : kind.ToString().ToLowerInvariant();
}
