// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Tests.Surveys;

public sealed class BoxReaderTests
{
    private const string Parts = """
        [[source]]
        id = "cone"
        kind = "cone"
        part_of = "box-1"
        area_cm2 = 215.0
        baffle_position_m = [0.18, 0.30]
        [[source]]
        id = "passive"
        kind = "passive-radiator"
        part_of = "box-1"
        effective_diameter_mm = 200.0
        [[box]]
        id = "box-1"
        width_m = 0.36
        height_m = 0.48
        depth_m = 0.40

        """;

    [Fact]
    public void Boxes_places_and_passive_radiators_are_read()
    {
        var survey = SurveyTexts.Read(SurveyTexts.Plain + Parts);
        Assert.Equal(new BoxSize(0.36, 0.48, 0.40), survey.Boxes["box-1"]);
        Assert.Equal(0.48, survey.Boxes["box-1"].LargestMetres);
        Assert.Equal((0.18, 0.30), (survey.Source("cone").FromLeftMetres, survey.Source("cone").FromBottomMetres));
        Assert.Equal((SourceKind.PassiveRadiator, (double?)null), (survey.Source("passive").Kind, survey.Source("passive").FromLeftMetres));
        Assert.Equal(survey.Boxes, survey.Only([]).Boxes);
        Assert.Empty(SurveyTexts.Read(SurveyTexts.Plain).Boxes);
    }

    [Theory]
    [InlineData("width_m = 0.36", "width_m = 36", "`width_m` must lie in [0.02, 10] m, is 36.")]
    [InlineData("depth_m = 0.40", "", "[[box]] has no `depth_m`. Add `depth_m` = the outside of the box in metres.")]
    [InlineData("depth_m = 0.40", "depth_m = 0.40\nlength_m = 1.0", "[[box]] has no key `length_m`.")]
    [InlineData("[[box]]\nid = \"box-1\"", "[[box]]\nid = \"box-2\"", "no source is part of the box \"box-2\". Did you mean `box-1`?")]
    [InlineData("depth_m = 0.40", "depth_m = 0.40\n[[box]]\nid = \"box-1\"\nwidth_m = 1.0\nheight_m = 1.0\ndepth_m = 1.0", "the box \"box-1\" is given twice, first on line ")]
    [InlineData("area_cm2 = 215.0", "area_cm2 = 2150.0", "the cone \"cone\" of 2150 cm² is 523 mm wide, more than the front of \"box-1\" (360 mm). Correct area_cm2")]
    [InlineData("effective_diameter_mm = 200.0", "effective_diameter_mm = 410.0", "the passive radiator \"passive\" of 1320.25", "more than any face of \"box-1\" (400 mm)")]
    [InlineData("[0.18, 0.30]", "[0.18]", "`baffle_position_m` has 1 number. Write two")]
    [InlineData("[0.18, 0.30]", "[0.18, 0.30, 0.1]", "`baffle_position_m` has 3 numbers. Write two")]
    [InlineData("[0.18, 0.30]", "[0.48, 0.30]", "the cone \"cone\" sits 0.48 m from the left and 0.3 m from below, beside the front of \"box-1\", which is 0.36 m by 0.48 m")]
    [InlineData("[0.18, 0.30]", "[0.08, 0.30]", "the cone \"cone\" of 215 cm² reaches 83 mm from its centre, which lies 80 mm from the edge of the front of \"box-1\". Correct baffle_position_m")]
    [InlineData("[0.18, 0.30]", "[0.18, 0.40]", "which lies 80 mm from the edge")]
    [InlineData("[0.18, 0.30]", "[-0.18, 0.30]", "`baffle_position_m` must lie in [0, 10] m, is -0.18.")]
    public void What_cannot_be_is_a_fault_that_says_where(string good, string bad, params string[] says)
    {
        Assert.Contains(good, Parts, StringComparison.Ordinal);
        var message = SurveyTexts.FaultOf(SurveyTexts.Plain + Parts.Replace(good, bad, StringComparison.Ordinal));
        Assert.All(says, part => Assert.Contains(part, message, StringComparison.Ordinal));
        Assert.Matches(@"^survey\.toml:\d+: ", message);
    }

    [Fact]
    public void A_box_that_no_source_names_says_how_to_name_it() => Assert.Contains("Write part_of = \"box-1\" in the [[source]] of its cones and ports",
        SurveyTexts.FaultOf(SurveyTexts.Plain + Parts[Parts.IndexOf("[[box]]", StringComparison.Ordinal)..]), StringComparison.Ordinal);
}
