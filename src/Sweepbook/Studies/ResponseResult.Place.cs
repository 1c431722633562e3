// SPDX-License-Identifier: MIT
namespace Sweepbook.Studies;

public sealed partial class ResponseResult
{
    /// <summary>Where it was taken, in words, as comparisons of microphones name their place: "sub at sofa", "main at 1 m in the free field, 0°".</summary>
    public string Place => ComparisonStudy.PlaceInWords(Takes[0]);
}
