// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Studies;
using Xunit;

namespace Sweepbook.Tests.Spectra;

public sealed class RepeatabilityTests(ITestOutputHelper output)
{
    private const int Surveys = 500;

    [Theory]
    [InlineData(0.0)]
    [InlineData(0.05)]
    [InlineData(0.3)]
    public void Nineteen_of_twenty_intervals_hold_the_truth(double driftDb)
    {
        var runs = new RepeatabilityRuns();
        var tallies = new[] { 2, 3, 4, 8 }.ToDictionary(repeats => repeats, _ => new Tally());
        for (var seed = 1UL; seed <= Surveys; seed++)
        {
            var (spectra, values) = runs.Repeats(seed, driftDb);
            foreach (var (repeats, tally) in tallies)
            {
                var power = runs.CellPower(RepeatabilityRuns.Mean(spectra.Take(repeats)), RepeatabilityRuns.Mean(values.Take(repeats)));
                var halfWidths = Repeatability.OfRepeats(spectra[..repeats], runs.Plain, RepeatabilityRuns.Grid, power);
                foreach (var k in runs.Judged)
                    tally.Add(RepeatabilityRuns.Grid[k], runs.Holds(k, repeats, power, halfWidths[k]), halfWidths[k]);
            }
        }
        foreach (var (repeats, tally) in tallies) output.WriteLine(FormattableString.Invariant($"drift {driftDb} dB, n = {repeats}: {tally.Words}"));
        Assert.All(tallies, entry => Assert.InRange(entry.Value.Percent, 92, 98));   // design, numerical promises: 95 ± 3 %
        // Octave by octave too, or errors in the number of independent values would cancel. Below 80 Hz a third of an octave of this window of 0.23 s
        // holds one to four values: two repeats say so little there that the interval errs on the wide side.
        Assert.All(tallies.SelectMany(entry => entry.Value.Octaves.Skip(2)), percent => Assert.InRange(percent, 90, 99));
        Assert.All(tallies.SelectMany(entry => entry.Value.Octaves.Take(2)), percent => Assert.InRange(percent, 93, 99.7));
    }

    [Fact]
    public void Nineteen_of_twenty_intervals_of_a_single_take_hold_the_truth_where_noise_is_all_there_is()
    {
        var (runs, tally) = (new RepeatabilityRuns(), new Tally());
        for (var seed = 1UL; seed <= Surveys; seed++)
        {
            var (spectra, values) = runs.Repeats(seed, 0, repeats: 1);
            var power = runs.CellPower(spectra[0], values[0]);
            var halfWidths = Repeatability.OfNoise(runs.NoisePower(seed), frequencyHz => NoiseMargin.FreedomAt(frequencyHz, RepeatabilityRuns.SilenceSeconds), runs.Plain, RepeatabilityRuns.Grid, power);
            foreach (var k in runs.Judged) tally.Add(RepeatabilityRuns.Grid[k], runs.Holds(k, 1, power, halfWidths[k]), halfWidths[k]);
        }
        output.WriteLine($"n = 1: {tally.Words}");
        Assert.InRange(tally.Percent, 92, 98);
        Assert.All(tally.Octaves, percent => Assert.InRange(percent, 92, 99));
    }

    [Fact]
    public void Two_repeats_that_differ_in_level_alone_have_one_degree_of_freedom()
    {
        const double Change = 0.01, Rounding = 1e-9;
        var halfWidths = OfTwo(1 + Change, 1 - Change);
        // s = √2 · change, over √2 for the mean of two; t = 12.706 for one degree of freedom (GUM, table G.2), 8.686 dB for a change by the factor e.
        Assert.All(halfWidths, halfWidth => Assert.Equal(StudentFactor.TwoSided(1) * 8.685889638 * Change, halfWidth, Rounding));
    }

    [Fact]
    public void A_shift_in_time_and_equal_repeats_change_no_level()
    {
        const double Rounding = 1e-6;
        Assert.All(OfTwo(Complex.FromPolarCoordinates(1, 0.1), Complex.FromPolarCoordinates(1, -0.1)), halfWidth => Assert.Equal(0, halfWidth, Rounding));
        Assert.All(OfTwo(1, 1), halfWidth => Assert.Equal(0, halfWidth));
    }

    [Fact]
    public void One_repeat_has_no_spread() =>
        Assert.Equal("spectra", Assert.Throws<ArgumentException>(() => Repeatability.OfRepeats([new Complex[10]], new(1, 1), LogGrid.Between(96, 2, 4), new double[96])).ParamName);

    [Fact]
    public void Unknown_noise_gives_no_repeatability()
    {
        var grid = LogGrid.Between(96, 100, 200);
        var unknown = Enumerable.Repeat(double.NaN, grid.Count).ToArray();
        Assert.All(Repeatability.OfNoise(unknown, _ => 10, new(1, 1), grid, new double[grid.Count]), halfWidth => Assert.True(double.IsNaN(halfWidth)));
    }

    [Fact]
    public void Where_a_cell_averages_many_values_the_power_of_the_noise_itself_widens_the_interval()
    {
        const double NoiseRatio = 0.03, WindowSeconds = 100, SmallShare = 0.05;   // 70 cells of 1/96 octave at 10 kHz hold 7 000 values each: their noise hardly scatters
        var grid = LogGrid.Between(96, 10_000, 11_000);
        var power = Enumerable.Repeat(1.0, grid.Count).ToArray();
        var halfWidths = Repeatability.OfNoise([.. power.Select(_ => NoiseRatio)], _ => 1000, new(WindowSeconds, 0.01), grid, power);
        Assert.All(halfWidths, halfWidth => Assert.InRange(halfWidth / (10 / Math.Log(10) * NoiseRatio), 1, 1 + SmallShare + 1.645 * 2 * Math.Sqrt(1 / (2 * 7000 * NoiseRatio))));
    }

    private static double[] OfTwo(Complex first, Complex second)
    {
        const int Bins = 2000;
        var grid = LogGrid.Between(96, 50, 1000);
        var mean = ((first + second) / 2).Magnitude;
        return Repeatability.OfRepeats([[.. Enumerable.Repeat(first, Bins)], [.. Enumerable.Repeat(second, Bins)]], new(1, 1), grid,
            [.. Enumerable.Repeat(mean * mean, grid.Count)]);
    }

    private sealed class Tally
    {
        private static readonly double[] s_edgesHz = [20, 40, 80, 160, 320, 640, 1250, 2500, 5000, 10_001];
        private readonly int[] _held = new int[s_edgesHz.Length - 1], _all = new int[s_edgesHz.Length - 1];
        private readonly double[] _widths = new double[s_edgesHz.Length - 1];

        internal double Percent => 100.0 * _held.Sum() / _all.Sum();

        internal IEnumerable<double> Octaves => _all.Select((all, n) => 100.0 * _held[n] / all);

        internal string Words => FormattableString.Invariant($"{Percent:0.0} % of {_all.Sum()}; by octave ")
            + string.Join(" ", Octaves.Select((percent, n) => FormattableString.Invariant($"{percent:0.0} (±{_widths[n] / _all[n]:0.00} dB)")));

        internal void Add(double frequencyHz, bool? holds, double halfWidthDb)
        {
            if (holds is not { } held) return;
            var octave = Array.FindLastIndex(s_edgesHz, edge => edge <= frequencyHz);
            (_all[octave], _held[octave]) = (_all[octave] + 1, _held[octave] + (held ? 1 : 0));
            _widths[octave] += halfWidthDb;
        }
    }
}
