// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Numerics;
using System.Text;
using Sweepbook.Files;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>Text in and out against closed forms: a delayed second-order low-pass, whose value at any frequency is a formula.</summary>
public sealed class ResponseTextTests : IDisposable
{
    private const double HalfPrintedLevelDb = 0.00005, HalfPrintedDegrees = 0.0005;   // four and three decimals

    private readonly SmallSurvey _survey = new();
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("sweepbook-test-");

    public void Dispose()
    {
        _survey.Dispose();
        _folder.Delete(recursive: true);
    }

    [Fact]
    public void What_is_written_reads_back_equal_to_the_last_printed_digit()
    {
        var response = Response(from: 20, to: 400, delaySeconds: 0.004);
        ResponseText.Write(File_, response, "A low-pass\nin one line", TimeZero.Loopback);
        var read = ResponseText.Read(File_);
        Assert.Equal(response.Count, read.Count);
        for (var k = 0; k < read.Count; k++)
        {
            Assert.InRange(Math.Abs(read[k].LevelDb - response[k].LevelDb), 0, 2 * HalfPrintedLevelDb);   // frequencies are printed too
            Assert.InRange(Math.Abs(Math.IEEERemainder(read[k].PhaseDegrees - response[k].PhaseDegrees, 360)), 0, 2 * HalfPrintedDegrees);
        }
        Assert.Equal(LevelReference.Loopback, read.Reference);
        Assert.True(read.LevelTrust[0] && read.PhaseTrust[0]);
        Assert.False(read.TimeGroup.Shares(response.TimeGroup));   // another file's time zero is another time zero
        Assert.StartsWith("# A low-pass in one line\n# level: decibels relative to the loopback", File.ReadAllText(File_));
    }

    [Fact]
    public void A_response_without_time_zero_is_written_and_read_without_phase()
    {
        ResponseText.Write(File_, Response(20, 400, 0), "levels", TimeZero.Unknown);
        Assert.DoesNotContain("phase_deg", File.ReadAllText(File_));
        var read = ResponseText.Read(File_);
        Assert.True(read.LevelTrust.LongestBand() is { IsEmpty: false });
        Assert.True(read.PhaseTrust.LongestBand().IsEmpty);
        Assert.Contains("no phase", read.PhaseTrust.ReasonAt(0).Sentence);
        Assert.Contains("no phase", Assert.Throws<DataFault>(() => Import(0)).Message);
    }

    [Theory]
    [InlineData("20 -3 0\n30 -4\n", 2, "1")]
    [InlineData("20 1 2 3\n30 1 2 3\n", 1, "4 numbers")]
    [InlineData("20 -3\n19 -4\n", 2, "does not rise")]
    [InlineData("20 -3\n20 -4\n", 2, "does not rise")]
    [InlineData("20 NaN\n30 -4\n", 1, "NaN")]
    [InlineData("20 -3\n# ok\n30 -4000\n", 3, "no level in decibels")]
    [InlineData("-20 -3\n30 -4\n", 1, "no frequency")]
    [InlineData("20 -3\n", null, "only one row")]
    [InlineData("nothing but words\n", null, "no rows")]
    public void Faults_are_named_with_their_line(string text, int? line, string words)
    {
        File.WriteAllText(File_, text);
        var fault = Assert.Throws<DataFault>(() => ResponseText.Read(File_));
        Assert.Equal(line, fault.Line);
        Assert.Contains(words, fault.Message);
    }

    [Fact]
    public void Other_programs_ways_of_writing_are_understood()
    {
        var lines = Enumerable.Range(0, 40).Select(k => string.Create(CultureInfo.InvariantCulture, $"{20 + k};{-0.5 * k};{-3.5 * k}")).ToList();
        File.WriteAllText(File_, "\uFEFFFreq;dB;deg\r\n" + string.Join("\r\n", lines.Select(line => line.Replace('.', ','))) + "\r\n", Encoding.UTF8);
        var read = ResponseText.Read(File_);
        var at = read.Points().First(point => point.FrequencyHz > 40);
        Assert.Equal(-3.5 * (at.FrequencyHz - 20), at.PhaseDegrees, 1e-6);   // straight over frequency, as a delay is
    }

    // The phase of a delay turns by 360° · delay · distance of the rows: known while that is below half a turn.
    [Fact]
    public void A_delay_too_long_for_the_rows_is_refused_with_what_to_do()
    {
        WriteRows(stepHz: 5, delaySeconds: 0.095);   // 171° a row, and some more of the low-pass
        Assert.Matches("steps by 17[0-9]° within 5 Hz", Assert.Throws<DataFault>(() => Import(0)).Message);
        Assert.True(ResponseText.Read(File_).PhaseTrust.LongestBand().IsEmpty);
        WriteRows(stepHz: 5, delaySeconds: 0.02);    // 36° a row
        Import(0);
        WriteRows(stepHz: 100, delaySeconds: 0);
        Assert.Contains("100 Hz apart", Assert.Throws<DataFault>(() => Import(0)).Message);
    }

    // The oracle is the formula of the response; between the rows straight lines miss it by at most a few thousandths, which sets the tolerance.
    [Theory]
    [InlineData(0.0)]
    [InlineData(0.03)]
    public void Text_with_phase_becomes_an_impulse_take_that_analyses_to_the_same_response(double takenOutSeconds)
    {
        const double ToleranceDb = 0.1, ToleranceDegrees = 1;
        WriteRows(stepHz: 1, delaySeconds: 0.012);
        var take = Import(takenOutSeconds);
        Assert.Equal(TimeZero.Stated, take.TimeZero);
        var impulse = Assert.Single(Study.Of(Survey.Read(_survey.Folder)).Responses).UncutImpulseResponse;
        foreach (var frequencyHz in new[] { 25.0, 40.0, 63.5, 100.0, 160.0 })
        {
            Complex sum = 0;
            for (var n = 0; n < impulse.Length; n++) sum += impulse[n] * Complex.Exp(new Complex(0, -2 * Math.PI * frequencyHz * impulse.SecondsAt(n)));
            var ratio = sum / LowPass(frequencyHz, 0.012 + takenOutSeconds);
            Assert.InRange(Decibels.FromAmplitude(ratio.Magnitude), -ToleranceDb, ToleranceDb);
            Assert.InRange(ratio.Phase * 180 / Math.PI, -ToleranceDegrees, ToleranceDegrees);
        }
    }

    [Fact]
    public void What_a_study_hands_on_comes_back_sample_for_sample()
    {
        _survey.Add("one.wav", [(96, 0.25), (400, -0.1), (2400, 0.05)]);
        _survey.Add("two.wav", [(96, 0.2), (900, 0.1)], seat: "chair");
        var study = Study.Of(_survey.Read());
        var results = Path.Combine(_folder.FullName, "results");
        var written = study.WriteForOthers(results);
        Assert.Equal(["impulse-responses/main_sofa_as-found.wav", "responses-as-text/main_sofa_as-found.txt", "impulse-responses/main_chair_as-found.wav", "responses-as-text/main_chair_as-found.txt", "handed-on.csv"], written);
        var rows = File.ReadAllLines(Path.Combine(results, "handed-on.csv"));
        var zero = double.Parse(rows[1].Split(',')[Array.IndexOf(rows[0].Split(','), "time_zero_s")], CultureInfo.InvariantCulture);

        using var other = new SmallSurvey();
        other.Read();
        var takes = ImpulseImport.Files(other.Folder, [Path.Combine(results, written[0])], new() { Sources = ["main"], Seat = "sofa", TimeZeroSeconds = zero, TimeGroup = "handed-on" }, [], default);
        Assert.Equal("takes/main_sofa_as-found_1.wav", Assert.Single(takes).File);
        var (own, back) = (study.Responses[0].UncutImpulseResponse, Assert.Single(Study.Of(Survey.Read(other.Folder)).Responses).UncutImpulseResponse);
        Assert.Equal(own.Length, back.Length);
        for (var n = 0; n < own.Length; n++) Assert.Equal(own[n], back[n], Math.Abs(own[n]) * 6e-8);   // half a unit in the last place of 24 bits
        Assert.Equal(own.SecondsAt(0), back.SecondsAt(0), 1e-9);                                        // nine decimals in the index
        Assert.Equal("stated/handed-on", back.TimeGroup.Name);
        Assert.Contains("already is a take", Assert.Throws<DataFault>(() => ImpulseImport.Files(other.Folder, [Path.Combine(results, written[0])], new() { Sources = ["main"], Seat = "sofa" }, [], default)).Message);
        Assert.Throws<DataFault>(() => study.WriteForOthers(_survey.Folder));
        Assert.Contains("its time zero is said to lie at 99 s", Assert.Throws<DataFault>(() => ImpulseImport.Files(other.Folder, [Path.Combine(results, written[2])], new() { Sources = ["main"], Seat = "sofa", TimeZeroSeconds = 99 }, [], default)).Message);
    }

    private string File_ => Path.Combine(_folder.FullName, "response.txt");

    private ImportedTake Import(double takenOutSeconds)
    {
        _survey.Read();
        return Assert.Single(ImpulseImport.Texts(_survey.Folder, [File_], new() { Sources = ["main"], Seat = "sofa", TimeZeroSeconds = takenOutSeconds }, [], default));
    }

    private void WriteRows(double stepHz, double delaySeconds) => File.WriteAllLines(File_, Enumerable.Range(0, (int)(380 / stepHz) + 1).Select(k => 20 + k * stepHz)
        .Select(frequencyHz => (frequencyHz, value: LowPass(frequencyHz, delaySeconds)))
        .Select(row => string.Create(CultureInfo.InvariantCulture, $"{row.frequencyHz} {Decibels.FromAmplitude(row.value.Magnitude)} {row.value.Phase * 180 / Math.PI}")));

    private static Response Response(double from, double to, double delaySeconds)
    {
        var grid = LogGrid.Between(96, from, to);
        var values = grid.ToArray().Select(frequencyHz => LowPass(frequencyHz, delaySeconds)).ToArray();
        var mask = new TrustMask(grid.ToArray(), new Reason[grid.Count]);
        return new(grid, values, values.Select(value => value.Magnitude * value.Magnitude).ToArray(), new double[grid.Count], new bool[grid.Count], mask, mask, new("loopback"), LevelReference.Loopback);
    }

    /// <summary>1 / (1 + j 2ζ f/f₀ − (f/f₀)²) · e^(−jωτ) with f₀ = 80 Hz, ζ = 0.5: its phase falls with frequency.</summary>
    private static Complex LowPass(double frequencyHz, double delaySeconds) =>
        Complex.Exp(new Complex(0, -2 * Math.PI * frequencyHz * delaySeconds)) / new Complex(1 - frequencyHz * frequencyHz / 6400, frequencyHz / 80);
}
