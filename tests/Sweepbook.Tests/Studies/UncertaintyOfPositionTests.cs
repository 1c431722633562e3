// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Simulation;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Tests.Files;
using Sweepbook.Tests.Simulation;
using Sweepbook.Trust;
using Xunit;
using static Sweepbook.Tests.Studies.PlainResponses;

namespace Sweepbook.Tests.Studies;

public sealed class UncertaintyOfPositionTests(ITestOutputHelper output)
{
    private const double Sound = 343;
    private const double Exact = 1e-9;

    [Fact]
    public void Five_centimetres_are_little_at_20_Hz_and_two_independent_places_at_10_kHz()
    {
        Assert.InRange(UncertaintyOfPosition.ChangeOverScatter(20, Sound), 0, 0.04);
        Assert.InRange(UncertaintyOfPosition.ChangeOverScatter(10_000, Sound), 0.98 * Math.Sqrt(2), Math.Sqrt(2));
    }

    [Fact]
    public void The_change_grows_with_frequency_until_half_a_wave_is_five_centimetres()
    {
        var below = Grid.ToArray().TakeWhile(frequencyHz => frequencyHz < Sound / 2 / 0.05).Select(frequencyHz => UncertaintyOfPosition.ChangeOverScatter(frequencyHz, Sound)).ToList();
        Assert.All(below.Zip(below.Skip(1)), pair => Assert.True(pair.Second > pair.First));
        // sin²(x)/x² has its largest side lobe of 0.0472 at x = 4.493 (where tan x = x): √(1 − 0.0472 · 6/π²) = 0.985.
        Assert.All(Grid.ToArray().Where(frequencyHz => frequencyHz > Sound / 2 / 0.05), frequencyHz =>
            Assert.InRange(UncertaintyOfPosition.ChangeOverScatter(frequencyHz, Sound) / Math.Sqrt(2), 0.985, 1));
    }

    [Theory]   // waves from all sides, drawn: the levels at two places 5 cm apart
    [InlineData(60)]
    [InlineData(500)]
    [InlineData(2000)]
    [InlineData(8000)]
    public void The_change_is_that_of_drawn_diffuse_fields(double frequencyHz)
    {
        const int Fields = 4000, Waves = 60;
        const double FourStandardErrors = 0.12;   // kurtosis of a difference of levels up to 6: √((6 − 1)/4000)/2 = 1.8 %, 4 % near the dips of the bass
        var random = Signals.Noise(Fields * Waves * 5, (ulong)frequencyHz);
        var (sum, scatter, at) = (0.0, Math.PI / Math.Sqrt(6) * 10 / Math.Log(10), 0);
        for (var field = 0; field < Fields; field++)
        {
            var (here, there) = (Complex.Zero, Complex.Zero);
            for (var wave = 0; wave < Waves; wave++, at += 5)
            {
                var amplitude = new Complex(random[at], random[at + 1]);
                var direction = random[at + 2] / Math.Sqrt(random[at + 2] * random[at + 2] + random[at + 3] * random[at + 3] + random[at + 4] * random[at + 4]);
                (here, there) = (here + amplitude, there + amplitude * Complex.FromPolarCoordinates(1, 2 * Math.PI * frequencyHz / Sound * 0.05 * direction));
            }
            var change = 20 * Math.Log10(there.Magnitude / here.Magnitude);
            sum += change * change;
        }
        Assert.InRange(Math.Sqrt(sum / Fields) / (UncertaintyOfPosition.ChangeOverScatter(frequencyHz, Sound) * scatter), 1 - FourStandardErrors, 1 + FourStandardErrors);
    }

    [Theory]   // L. Lewin, Polylogarithms and Associated Functions (1981): Li₂(1/2) = π²/12 − ln²2/2, Li₂(1) = π²/6; the others by SciPy's spence(1 − x)
    [InlineData(0, 0)]
    [InlineData(0.1, 0.1026177910993911)]
    [InlineData(0.5, 0.5822405264650125)]
    [InlineData(0.9, 1.2997147230049588)]
    [InlineData(1, 1.6449340668482264)]
    public void The_dilogarithm_has_its_known_values(double x, double value) => Assert.Equal(value, UncertaintyOfPosition.Dilogarithm(x), 1e-12);

    [Fact]
    public void A_straight_slope_is_no_unevenness_and_a_diffuse_scatter_is_the_most()
    {
        const double TwoStandardErrors = 0.5;
        Assert.All(UncertaintyOfPosition.StandardDb(In(SoundField.Room), Of(frequencyHz => frequencyHz), Sound), standard => Assert.Equal(0, standard, 1e-6));
        var random = Signals.Noise(2 * Grid.Count, 5);
        var rough = UncertaintyOfPosition.StandardDb(In(SoundField.Room), Of((_, k) => new Complex(random[2 * k], random[2 * k + 1]).Magnitude), Sound);
        Assert.InRange(rough[^100..].Average(), 5.57 * Math.Sqrt(2) - 2 * TwoStandardErrors, 5.57 * Math.Sqrt(2));
        Assert.InRange(rough[0], 0, 0.25);
    }

    [Fact]
    public void In_a_free_field_the_distance_decides_and_close_to_a_cone_nothing_is_said()
    {
        Assert.All(UncertaintyOfPosition.StandardDb(In(SoundField.Free, 1000), Of(_ => 1), Sound), standard => Assert.Equal(20 * Math.Log10(1.05) / Math.Sqrt(3), standard, Exact));
        Assert.All(UncertaintyOfPosition.StandardDb(In(SoundField.Free), Of(_ => 1), Sound), standard => Assert.True(double.IsNaN(standard)));
        Assert.All(UncertaintyOfPosition.StandardDb(In(SoundField.Near, 5), Of((_, k) => 1 + k % 2), Sound), standard => Assert.Equal(0, standard));
    }

    [Fact]
    public void In_a_simulated_room_most_levels_up_to_five_centimetres_off_lie_within_the_expanded_uncertainty()
    {
        const int Places = 6;
        var offsets = Signals.Noise(3 * Places, 77).Select(value => 0.1 * MathNet.Numerics.Distributions.Normal.CDF(0, 1, value) - 0.05).ToArray();   // evenly within ± 5 cm
        var seats = Enumerable.Range(0, Places + 1).Select(n => FormattableString.Invariant(
            $"[[seat]]\nid = \"p{n}\"\nposition_m = [{3.6 + At(n, 0):0.0000}, {2.4 + At(n, 1):0.0000}, {1.1 + At(n, 2):0.0000}]\n"));
        var (sub, seat) = (Plans.Small.IndexOf("[[source]]\nid = \"sub\"", StringComparison.Ordinal), string.Concat(seats));
        using var folder = new TemporaryFolder();
        Simulator.Write(Plans.Read(Plans.Small[..sub] + seat), folder["survey"]);
        var responses = Study.Of(Survey.Read(folder["survey"])).Responses;
        var (inside, all, changes, model) = (0, 0, 0.0, 0.0);
        foreach (var point in responses[0].Response.Points().Select((point, k) => (point, k)).Where(entry => entry.point.TrustedLevel && double.IsFinite(entry.point.Uncertainty.ExpandedDb)))
            foreach (var change in responses.Skip(1).Select(result => result.Response[point.k]).Where(other => !other.IsCensored).Select(other => other.LevelDb - point.point.LevelDb))
            {
                var uncertainty = point.point.Uncertainty;
                (all, inside) = (all + 1, inside + (Math.Abs(change) <= uncertainty.ExpandedDb ? 1 : 0));
                (changes, model) = (changes + change * change, model + uncertainty.PositionDb * uncertainty.PositionDb);
            }
        output.WriteLine(FormattableString.Invariant($"{100.0 * inside / all:0.0} % of {all} within; changes {Math.Sqrt(changes / all):0.00} dB, model {Math.Sqrt(model / all):0.00} dB"));
        Assert.InRange(100.0 * inside / all, 90, 100);
        Assert.InRange(Math.Sqrt(changes / model), 0.75, 1.33);   // one room, one seat: the model is good to a quarter there

        double At(int place, int axis) => place == 0 ? 0 : offsets[3 * (place - 1) + axis];
    }
}
