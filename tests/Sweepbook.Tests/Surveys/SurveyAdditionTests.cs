// SPDX-License-Identifier: MIT
using System.Text;
using Sweepbook.Files;
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Tests.Surveys;

/// <summary>All or nothing: whatever stops an addition half way, folder and description are as they were.</summary>
public sealed class SurveyAdditionTests : IDisposable
{
    private const string Plain = "format = 1\ntakes = \"takes/{source}_{seat}.wav\"\n[[stimulus]]\nid = \"full\"\nfile = \"full.toml\"\n[[microphone]]\nid = \"omni\"\n[[source]]\nid = \"sub\"\nkind = \"subwoofer\"\n[[seat]]\nid = \"sofa\"   # a remark\n";

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("sweepbook-test-");

    public SurveyAdditionTests() => File.WriteAllText(Toml, Plain);

    public void Dispose() => _folder.Delete(recursive: true);

    [Theory]
    [InlineData("\n", true, false)]
    [InlineData("\r\n", true, false)]
    [InlineData("\n", false, false)]
    [InlineData("\n", true, true)]
    public void What_stands_there_stays_to_the_byte_whatever_its_line_ends(string lineEnd, bool endsWithLine, bool mark)
    {
        var text = (endsWithLine ? Plain : Plain.TrimEnd('\n')).Replace("\n", lineEnd);
        var before = (byte[])[.. mark ? new byte[] { 0xEF, 0xBB, 0xBF } : [], .. Encoding.UTF8.GetBytes(text)];
        File.WriteAllBytes(Toml, before);
        SurveyAddition.To(_folder.FullName).Write([(Entry("takes/a.wav"), One)], default);
        var after = File.ReadAllBytes(Toml);
        Assert.True(after.AsSpan().StartsWith(before));
        Assert.Equal(lineEnd == "\r\n", Encoding.UTF8.GetString(after.AsSpan(before.Length)).Contains('\r'));
        Assert.Equal("takes/a.wav", Assert.Single(Survey.Read(_folder.FullName).Takes).File);
    }

    [Fact]
    public void A_survey_that_changed_meanwhile_is_not_touched_and_no_take_is_left()
    {
        var addition = SurveyAddition.To(_folder.FullName);
        var fault = Assert.Throws<DataFault>(() => addition.Write([(Entry("takes/a.wav"), One), (Entry("takes/b.wav"), stream =>
        {
            One(stream);
            File.AppendAllText(Toml, "# somebody else\n");
        })], default));
        Assert.Contains("it was changed while", fault.Message);
        Assert.Equal(Plain + "# somebody else\n", File.ReadAllText(Toml));
        NothingLeft();
    }

    [Fact]
    public void A_full_disk_or_a_cancelled_run_leaves_nothing_half()
    {
        const int NoSpace = 28;   // POSIX errno.h as Linux numbers it
        var full = Assert.Throws<DataFault>(() => SurveyAddition.To(_folder.FullName).Write([(Entry("takes/a.wav"), One), (Entry("takes/b.wav"), _ => throw new IOException("no space", NoSpace))], default));
        Assert.Contains("the disk is full", full.Message);
        Unchanged();
        using var cancelled = new CancellationTokenSource();
        Assert.Throws<OperationCanceledException>(() => SurveyAddition.To(_folder.FullName).Write([(Entry("takes/a.wav"), stream =>
        {
            One(stream);
            cancelled.Cancel();
        }), (Entry("takes/b.wav"), One)], cancelled.Token));
        Unchanged();
    }

    [Fact]
    public void An_entry_that_does_not_fit_is_refused_before_anything_is_written()
    {
        var fault = Assert.Throws<DataFault>(() => SurveyAddition.To(_folder.FullName).Write([(Entry("takes/a.wav") with { Seat = "sofy" }, One)], default));
        Assert.Contains("does not fit", fault.Message);
        Assert.Contains("sofa", fault.Message);
        Assert.Null(fault.Line);   // the line does not exist yet
        Unchanged();
        File.WriteAllText(Toml, "take = []\n" + Plain);   // takes as an inline list: a table behind it would be a second one
        Assert.Throws<DataFault>(() => SurveyAddition.To(_folder.FullName).Write([(Entry("takes/a.wav"), One)], default));
        NothingLeft();
    }

    [Fact]
    public void A_name_is_new_formed_like_the_others_and_never_in_the_way_of_a_file()
    {
        Directory.CreateDirectory(Path.Combine(_folder.FullName, "takes"));
        File.WriteAllText(Path.Combine(_folder.FullName, "takes", "sub_sofa.wav"), "");
        var addition = SurveyAddition.To(_folder.FullName);
        Assert.Equal(["takes/sub_sofa_2.wav", "takes/sub_sofa_3.wav"], new[] { Name(addition), Name(addition) });
        File.WriteAllText(Toml, Plain.Replace("{source}_{seat}", "{setting}/{source}_{seat}_{repeat}"));
        Assert.Equal("takes/as-found/sub_sofa_1.wav", Name(SurveyAddition.To(_folder.FullName)));
        File.WriteAllText(Toml, Plain.Replace("takes = \"takes/{source}_{seat}.wav\"\n", ""));
        Assert.Equal("takes/sub_sofa_as-found_1.wav", Name(SurveyAddition.To(_folder.FullName)));
        var file = Entry("takes/sub_sofa.wav");
        Assert.Contains("exists already", Assert.Throws<DataFault>(() => SurveyAddition.To(_folder.FullName).Write([(file, One)], default)).Message);
        Assert.Equal("", File.ReadAllText(Path.Combine(_folder.FullName, "takes", "sub_sofa.wav")));
    }

    private string Toml => Path.Combine(_folder.FullName, "survey.toml");

    private static string Name(SurveyAddition addition) => addition.NewName(["sub"], "sofa", "as-found", "omni", "full");

    private static TakeEntry Entry(string file) => new() { File = file, Sources = ["sub"], Seat = "sofa", Note = "a \"note\" with \\ in it" };

    private static void One(Stream stream) => stream.WriteByte(1);

    private void Unchanged()
    {
        Assert.Equal(Plain, File.ReadAllText(Toml));
        NothingLeft();
    }

    private void NothingLeft()
    {
        var takes = Path.Combine(_folder.FullName, "takes");
        Assert.True(!Directory.Exists(takes) || !Directory.EnumerateFileSystemEntries(takes).Any());
        Assert.Equal(["survey.toml"], Directory.EnumerateFiles(_folder.FullName).Select(Path.GetFileName));
    }
}
