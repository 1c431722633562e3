// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Tests.Studies;
using Xunit;

namespace Sweepbook.Tests.Surveys;

public sealed class CalibratorReaderTests
{
    [Fact]
    public void A_calibrator_has_its_level_tone_microphone_and_gain_and_is_no_take()
    {
        using var folder = new SmallSurvey(top: "takes = \"takes/{source}_{seat}.wav\"\n[[calibrator]]\nfile = \"takes/cal.wav\"\nmicrophone = \"omni\"\nlevel_db = 113.9\nfrequency_hz = 250.0\ninput_gain_db = 24.0\nmicrophone_channel = 2\n");
        folder.WriteRecording("cal.wav", [(0, 0.1)], 1e-5);
        var survey = folder.Read();
        var take = Assert.Single(survey.Calibrators);
        Assert.Equal((113.9, 250.0, 24.0, 2, "omni", "takes/cal.wav"), (take.CalibratorLevelDb, take.CalibratorHz, take.InputGainDb, take.MicrophoneChannel, take.Microphone, take.File));
        Assert.Empty(survey.Takes);
        Assert.Empty(survey.UnmatchedFiles);
        Assert.Same(survey.Calibrators, survey.Only([]).Calibrators);
    }

    [Fact]
    public void What_is_left_open_is_1_kHz_channel_1_the_only_microphone_and_the_gain_of_the_defaults()
    {
        using var folder = new SmallSurvey(top: "[[calibrator]]\nfile = \"takes/cal.wav\"\nlevel_db = 94\n");
        var take = Assert.Single(folder.Read().Calibrators);
        Assert.Equal((94.0, 1000.0, null, 1, "omni"), (take.CalibratorLevelDb, take.CalibratorHz, take.InputGainDb, take.MicrophoneChannel, take.Microphone));
    }

    [Theory]
    [InlineData("file = \"takes/cal.wav\"\n", "has no `level_db`")]
    [InlineData("level_db = 94.0\n", "has no `file`")]
    [InlineData("file = \"takes/cal.wav\"\nlevel_db = 49.0\n", "calibrators give 94 or 114 dB")]
    [InlineData("file = \"takes/cal.wav\"\nlevel_db = 94.6\n", "its certificate")]
    [InlineData("file = \"takes/cal.wav\"\nlevel_db = 94.0\nmicrophone = \"omny\"\n", "there is no microphone \"omny\"")]
    [InlineData("file = \"takes/cal.wav\"\nlevel_db = 94.0\nseat = \"sofa\"\n", "has no key `seat`")]
    [InlineData("file = \"takes/cal.wav\"\nlevel_db = 94.0\nfrequency_hz = 1.0\n", "frequency_hz")]
    [InlineData("file = \"../cal.wav\"\nlevel_db = 94.0\n", "..")]
    [InlineData("file = \"takes/cal.wav\"\nlevel_db = 94.0\n[[calibrator]]\nfile = \"takes/cal.wav\"\nlevel_db = 94.0\n", "twice")]
    public void A_wrong_entry_is_refused_with_what_to_do(string entry, string problem)
    {
        using var folder = new SmallSurvey(top: $"[[calibrator]]\n{entry}");
        Assert.Contains(problem, Assert.Throws<DataFault>(folder.Read).Message, StringComparison.Ordinal);
    }
}
