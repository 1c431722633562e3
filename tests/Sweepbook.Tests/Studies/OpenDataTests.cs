// SPDX-License-Identifier: MIT
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Tests.HouseRules;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>Measured impulse responses of other groups, read in place beside the project; their origin and licences are in PROVENANCE.md there.</summary>
public sealed class OpenDataTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("sweepbook-open-").FullName;

    [Theory]
    [InlineData("seminar-clap/rir_clap.wav", 1)]
    [InlineData("variable-lab/Absorptive_050_SBG1_ch7.wav", 1)]
    [InlineData("office-a/UniS_Room_A_BRIR_16k_az000.wav", 2)]
    public void A_measured_impulse_response_gives_a_response_with_a_trusted_band(string file, int channel)
    {
        var result = Assert.Single(Analysed(file, channel).Responses);
        Assert.False(result.LevelBand.IsEmpty);
        Assert.True(result.LevelBand.ToHz <= 0.45 * result.ImpulseResponse.SampleRateHz);   // design, "What may be believed": upper end
        Assert.True(result.PhaseBand.IsEmpty);                                               // no time zero was stated
    }

    [Fact]
    public void A_clap_is_not_believed_in_the_bass()
    {
        // Two boards clapped by hand: PROVENANCE.md says that its range is too small below 250 Hz.
        var band = Analysed("seminar-clap/rir_clap.wav", 1).Responses[0].LevelBand;
        Assert.Equal(Doubt.Noise, band.LowReason.Doubt);
        Assert.InRange(band.FromHz, 30, 400);
    }

    private Study Analysed(string file, int channel)
    {
        var shared = Path.GetFullPath(Repository.Path("..", "shared", "open-data"));
        Assert.SkipUnless(Directory.Exists(shared), "the folder shared/open-data is not beside the project, so measured responses cannot be read");
        Directory.CreateDirectory(Path.Combine(_folder, "takes"));
        File.Copy(Path.Combine(shared, file), Path.Combine(_folder, "takes", "room.wav"));
        File.WriteAllText(Path.Combine(_folder, "survey.toml"), $"""
            format = 1
            title = "Measured elsewhere"

            [[microphone]]
            id = "omni"

            [[source]]
            id = "source"
            kind = "loudspeaker"

            [[seat]]
            id = "place"

            [[take]]
            file = "takes/room.wav"
            sources = ["source"]
            seat = "place"
            microphone = "omni"
            microphone_channel = {channel}
            time_zero = "unknown"
            impulse = true
            """);
        return Study.Of(Survey.Read(_folder));
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);
}
