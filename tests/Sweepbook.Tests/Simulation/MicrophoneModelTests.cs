// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Quantities;
using Sweepbook.Simulation;
using Xunit;

namespace Sweepbook.Tests.Simulation;

public sealed class MicrophoneModelTests
{
    private const int Rate = 48000;
    private static readonly PlannedMicrophone Plan = new("omni-1", new(6, 1), 13000, 2.6, 1.1, 16, 20000, null, null, null, null);

    [Fact]
    public void The_calibration_file_states_what_the_microphone_adds()
    {
        const double HalfLastPrintedDigitDb = 0.0005, AllowedHz = 0.0005;
        var model = new MicrophoneModel(Plan, Rate);
        var rows = Rows(model);
        Assert.InRange(rows[0][0] - 16, -AllowedHz, AllowedHz);
        Assert.InRange(rows[^1][0] - 20000, -AllowedHz, AllowedHz);
        foreach (var row in rows)
            Assert.InRange(row[1] - Decibels.FromAmplitude(model.ResponseAt(row[0]).Magnitude), -1.1 * HalfLastPrintedDigitDb, 1.1 * HalfLastPrintedDigitDb);
    }

    [Fact]   // closed form: a first-order high-pass is 10 lg(1 + (6 / f)²) down; the capsule adds 2.6 dB at 13 kHz
    public void The_signs_are_those_of_a_response()
    {
        var model = new MicrophoneModel(Plan, Rate);
        Assert.Equal(-10 * Math.Log10(1 + 36.0 / 256), Decibels.FromAmplitude(model.ResponseAt(16).Magnitude), 3);
        Assert.Equal(2.6, Decibels.FromAmplitude(model.ResponseAt(13000).Magnitude), 4);
    }

    [Fact]   // law: straight lines in dB over log frequency between the rows stay close to the truth
    public void Between_its_rows_the_file_is_true_to_a_hundredth_of_a_decibel()
    {
        const double ToleranceDb = 0.01;
        var model = new MicrophoneModel(Plan, Rate);
        foreach (var (below, above) in Rows(model).Zip(Rows(model).Skip(1)))
        {
            var truth = Decibels.FromAmplitude(model.ResponseAt(Math.Sqrt(below[0] * above[0])).Magnitude);
            Assert.InRange((below[1] + above[1]) / 2 - truth, -ToleranceDb, ToleranceDb);
        }
    }

    private static List<double[]> Rows(MicrophoneModel model) =>
        [.. model.CalibrationText().Split('\n').Where(line => line.Length > 0 && char.IsAsciiDigit(line[0]))
            .Select(line => line.Split('\t').Select(cell => double.Parse(cell, CultureInfo.InvariantCulture)).ToArray())];
}
