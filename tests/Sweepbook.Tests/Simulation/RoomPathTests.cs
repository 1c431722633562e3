// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Rooms;
using Sweepbook.Simulation;
using Xunit;

namespace Sweepbook.Tests.Simulation;

public sealed class RoomPathTests
{
    private const int Rate = 48000;
    private const double T60 = 0.4;
    private static readonly RectangularRoom Room = new(5.4, 4.1, 2.5);
    private static readonly Position Source = new(0.5, 0.6, 0.3);
    private static readonly Position Seat = new(3.7, 2.3, 1.1);

    private static AcousticRoom Acoustics(double crossoverHz) => new(Room, new DecayByFrequency([new(100, T60)]), crossoverHz, 3);

    [Fact]   // law: the modal sum and the image sum are the same Green's function, so it must not matter where one hands over to the other
    public void Damped_modes_and_image_sources_describe_the_same_room()
    {
        const double DisagreementDb = -50;   // the images end 72 dB down with a fade; 56 dB was reached
        var (early, late) = (new RoomPath(Acoustics(150), Source, Seat, null, 0, Rate), new RoomPath(Acoustics(300), Source, Seat, null, 0, Rate));
        for (var hz = 20.0; hz < 1000; hz *= 1.07)
        {
            var (a, b) = (early.ResponseAt(hz), late.ResponseAt(hz));
            Assert.InRange(Decibels.FromAmplitude((a - b).Magnitude / a.Magnitude), -300, DisagreementDb);
        }
    }

    [Fact]   // closed form of one damped mode
    public void A_single_mode_rings_as_its_closed_form()
    {
        const double Rounding = 1e-9;
        var field = new ModalField(Room, new DecayByFrequency([new(100, T60)]), 3, Source, Seat, 20, Rate);   // taper below every mode but 1,0,0
        var mode = field.Modes.Single(mode => mode.Mode.Order == "1,0,0");
        Assert.Equal(Room.SpeedOfSoundMetresPerSecond / (2 * 5.4), mode.FrequencyHz, 9);
        var impulse = new double[Rate];
        impulse[10] = 1;
        var ringing = field.Apply(impulse);
        var largest = ringing.Max(Math.Abs);
        for (var n = 11; n < Rate; n += 97)
        {
            var seconds = (n - 10) / (double)Rate;
            var expected = field.Modes.Sum(one =>
                one.Weight * Math.Exp(-one.DecayPerSecond * seconds) * Math.Sin(2 * Math.PI * one.FrequencyHz * seconds) / (2 * Math.PI * one.FrequencyHz) / Rate);
            Assert.InRange((ringing[n] - expected) / largest, -Rounding, Rounding);
        }
    }

    [Fact]
    public void A_mode_loses_sixty_decibels_in_its_decay_time()
    {
        var field = new ModalField(Room, new DecayByFrequency([new(20, 0.7), new(80, 0.5)]), 3, Source, Seat, 100, Rate);
        foreach (var mode in field.Modes)
        {
            var t60 = mode.FrequencyHz <= 20 ? 0.7 : mode.FrequencyHz >= 80 ? 0.5 : 0.7 - 0.2 * Math.Log2(mode.FrequencyHz / 20) / 2;
            Assert.Equal(0.001, Math.Exp(-mode.DecayPerSecond * t60), 9);
        }
    }

    [Theory]
    [InlineData(3.7, 2.3, 1.1)]
    [InlineData(1.9, 3.3, 1.2)]
    [InlineData(5.0, 0.4, 0.9)]
    public void The_direct_sound_arrives_after_distance_over_speed(double x, double y, double z)
    {
        const double AllowedSeconds = 0.00005, Before = 5e-4;   // of the direct sound: what the two halves differ by rings 74 dB down around it
        var seat = new Position(x, y, z);
        var path = new RoomPath(Acoustics(200), Source, seat, null, 0, Rate);
        var distance = Source.DistanceMetresTo(seat);
        var impulse = new double[8192];
        impulse[2000] = 1;
        var response = path.Apply(impulse);
        var expected = 2000 + distance / Room.SpeedOfSoundMetresPerSecond * Rate;
        var onset = Array.FindIndex(response, value => Math.Abs(value) > 0.5 / distance);
        Assert.InRange((onset - expected) / Rate, -AllowedSeconds, AllowedSeconds);
        for (var n = 0; n < expected - 40; n++) Assert.InRange(response[n] * distance, -Before, Before);   // 40 samples hold the windowed cardinal
    }

    [Fact]   // closed form: one image at a distance r is a delay r/c and a factor 1/r at every frequency
    public void The_direct_image_alone_is_a_pure_delay()
    {
        const double Ripple = 3e-4;   // of the windowed cardinal up to 20 kHz
        var distance = Source.DistanceMetresTo(Seat);
        var (response, _) = ImageField.Responses(Room, Source, Seat, null, (distance + 0.05) / Room.SpeedOfSoundMetresPerSecond, 64, Rate);
        foreach (var hz in new[] { 100.0, 1000, 5000, 20000 })
        {
            var expected = System.Numerics.Complex.FromPolarCoordinates(1 / distance, -2 * Math.PI * hz * distance / Room.SpeedOfSoundMetresPerSecond);
            Assert.InRange((DirectConvolution.ResponseAt(response, 64, Rate, hz) - expected).Magnitude * distance, 0, Ripple);
        }
    }

    [Fact]   // mirror images of an aimed source: the direct sound on the axis keeps its level, behind it there is none
    public void An_aimed_source_is_silent_behind_and_unchanged_on_its_axis()
    {
        var (_, towards) = ImageField.Responses(Room, Source, Seat, Seat, 0.0115, 64, Rate);
        var away = new Position(2 * Source.XMetres - Seat.XMetres, 2 * Source.YMetres - Seat.YMetres, 2 * Source.ZMetres - Seat.ZMetres);
        var (allRound, behind) = ImageField.Responses(Room, Source, Seat, away, 0.0115, 64, Rate);
        var direct = (int)Math.Round(64 + Source.DistanceMetresTo(Seat) / Room.SpeedOfSoundMetresPerSecond * Rate);
        Assert.Equal(allRound[direct], towards[direct], 3);
        Assert.Equal(0, behind[direct], 3);
    }

    [Fact]   // slow and obvious: mirror the seat instead of the source, so that the sound leaves straight towards each mirrored seat
    public void Mirroring_the_seat_instead_of_the_source_gives_the_same_aimed_sound()
    {
        const double Seconds = 0.03, Rounding = 1e-12;
        var aim = new Position(4.9, 1.2, 2.4);
        var speed = Room.SpeedOfSoundMetresPerSecond;
        var (_, forward) = ImageField.Responses(Room, Source, Seat, aim, Seconds, 64, Rate);
        var expected = new double[forward.Length];
        var aimed = Source.DistanceMetresTo(aim);
        foreach (var x in Mirrored(Seat.XMetres, Room.LengthMetres))
            foreach (var y in Mirrored(Seat.YMetres, Room.WidthMetres))
                foreach (var z in Mirrored(Seat.ZMetres, Room.HeightMetres))
                {
                    var distance = Source.DistanceMetresTo(new(x, y, z));
                    if (distance > Seconds * speed) continue;
                    var dot = (x - Source.XMetres) * (aim.XMetres - Source.XMetres) + (y - Source.YMetres) * (aim.YMetres - Source.YMetres) + (z - Source.ZMetres) * (aim.ZMetres - Source.ZMetres);
                    ImageField.Add(expected, 64 + distance / speed * Rate, (1 + dot / (distance * aimed)) / (2 * distance));
                }
        for (var n = 0; n < forward.Length; n++) Assert.InRange(forward[n] - expected[n], -Rounding, Rounding);
    }

    private static IEnumerable<double> Mirrored(double seat, double length) =>
        Enumerable.Range(-6, 13).SelectMany(m => new[] { 2 * m * length + seat, 2 * m * length - seat });

    [Fact]   // closed form: everything falls as e^(−6.9078 t / T60), so the energy of equal spans does, up to how the images happen to fall
    public void The_treble_decays_in_its_planned_time()
    {
        const double Scatter = 0.04;   // images of a box are not noise: the slope over 40 dB came out within 3 %
        var decay = new DecayByFrequency([new(500, 0.5), new(4000, 0.25)]);
        var path = new RoomPath(new(Room, decay, 200, 3), Source, Seat, null, 0, Rate);
        var impulse = new double[Rate];
        impulse[2000] = 1;
        var response = RecursiveFilter.HighPass(5000, 4, Rate).Apply(path.Apply(impulse));
        double EnergyDb(double seconds) => Decibels.FromPower(response.Skip(2000 + (int)(seconds * Rate)).Take(Rate / 50).Sum(value => value * value));
        var slope = (EnergyDb(0.20) - EnergyDb(0.04)) / 0.16;
        Assert.InRange(-60 / slope / 0.25 - 1, -Scatter, Scatter);
    }
}
