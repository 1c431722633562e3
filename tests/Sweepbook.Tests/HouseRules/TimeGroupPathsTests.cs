// SPDX-License-Identifier: MIT
using System.Reflection;
using Sweepbook.Impulses;
using Sweepbook.Nearfield;
using Sweepbook.Seats;
using Sweepbook.Spectra;
using Sweepbook.Studies;
using Sweepbook.Tests.Spectra;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.HouseRules;

/// <summary>
/// Every public path that brings two or more responses together: each refuses responses without a common time zero, which is tried here. The paths are
/// found by reflection, so that a new one fails until somebody has thought about it.
/// </summary>
public sealed class TimeGroupPathsTests
{
    private static readonly Type[] Responses = [typeof(Response), typeof(ImpulseResponse), typeof(ResponseResult), typeof(SeatResponse), typeof(Radiator)];

    /// <summary>Paths that refuse: each is called with two groups and must throw, with a sentence about the time zero.</summary>
    private static readonly Dictionary<string, Action<TimeGroup, TimeGroup>> Refusing = new(StringComparer.Ordinal)
    {
        ["Response.Plus"] = (one, other) => Flat(one).Plus(Flat(other)),
        ["RelativeDelay.Between"] = (one, other) => RelativeDelay.Between(Click(one), Click(other), 20, 200),
        ["ResponseResult.DelayAfter"] = (one, other) => Result(one).DelayAfter(Result(other)),
        ["SeatSet.Of"] = (one, other) => SeatSet.Of([new("a", Flat(one), 1), new("b", Flat(other), 1)]).ComplexMean(),
        ["NearfieldSum.Of"] = (one, other) => NearfieldSum.Of([new("a", RadiatorKind.Cone, Flat(one), 0.02, 0), new("b", RadiatorKind.Port, Flat(other), 0.01, 0)], default, 343),
    };

    public static TheoryData<string> RefusingPaths => [.. Refusing.Keys];

    [Fact]
    public void Every_public_path_that_takes_two_responses_is_known() =>
        Assert.Equal(Refusing.Keys.Order(StringComparer.Ordinal), Paths(typeof(Response).Assembly).Order(StringComparer.Ordinal));

    [Fact]
    public void A_path_that_nobody_thought_of_would_be_seen() => Assert.Contains("Forgotten.Add", PathsOf(typeof(Forgotten)));

    [Theory, MemberData(nameof(RefusingPaths))]
    public void Each_refuses_other_groups_and_unknown_ones_and_allows_one_group(string path)
    {
        foreach (var (one, other) in new[] { ("loopback", "marker@sofa"), ("loopback", null), (null, "loopback"), (null, (string?)null) })
        {
            var refusal = Assert.ThrowsAny<Exception>(() => Refusing[path](new(one), new(other)));
            Assert.True(refusal is ArgumentException or InvalidOperationException);
            Assert.Contains("time zero", refusal.Message, StringComparison.Ordinal);
        }
        Refusing[path](new("loopback"), new("loopback"));
    }

    /// <summary>Two surveys may both have a "marker@sofa" or a "loopback": between two evenings the marker's loudspeaker, the seat and the wiring were moved.</summary>
    [Theory, MemberData(nameof(RefusingPaths))]
    public void Each_refuses_groups_of_one_name_from_two_surveys(string path)
    {
        using var evening = new Studies.SmallSurvey();
        using var another = new Studies.SmallSurvey();
        foreach (var survey in new[] { evening, another }) survey.Add("a.wav", [(480, 0.25)]);
        TimeGroup[] groups = [.. new[] { evening, another, evening }.Select(survey => Assert.Single(survey.Read().Takes).TimeGroup)];
        Assert.Equal("loopback", groups[0].Name);
        Assert.Equal(groups[0], groups[1]);   // told apart by the survey only where it matters
        var refusal = Assert.ThrowsAny<Exception>(() => Refusing[path](groups[0], groups[1]));
        Assert.Contains("different surveys", refusal.Message, StringComparison.Ordinal);
        Refusing[path](groups[0], groups[2]);
    }

    /// <summary>Not public, and the one exception: a repeat of another group, 5 ms later, is brought into line before it is added, so nothing cancels.</summary>
    [Fact]
    public void Repeats_of_other_groups_are_aligned_before_they_are_added()
    {
        var mean = RepeatMean.Of([Click(new("marker@sofa")), Click(new("marker@chair"), 5)]);
        Assert.Equal(Click(new("marker@sofa")).ToArray(), mean.ToArray(), (a, b) => Math.Abs(a - b) < 1e-6);
    }

    private static IEnumerable<string> Paths(Assembly assembly) => assembly.GetExportedTypes().SelectMany(PathsOf).Distinct();

    private static IEnumerable<string> PathsOf(Type type) =>
        from method in type.GetMethods(BindingFlags.Public | BindingFlags.Instance | BindingFlags.Static | BindingFlags.DeclaredOnly)
        where method.Name is not ("Equals" or "Deconstruct" or "op_Equality" or "op_Inequality") && !method.IsSpecialName
        let own = method.IsStatic ? 0 : Weight(type)
        where own + method.GetParameters().Sum(parameter => Weight(parameter.ParameterType)) >= 2 && method.GetParameters().Any(parameter => Weight(parameter.ParameterType) > 0)
        select $"{type.Name}.{method.Name}";

    /// <summary>1 for a response, 2 for a collection of them, whatever the collection.</summary>
    private static int Weight(Type type)
    {
        if (Responses.Contains(type)) return 1;
        Type[] inner = type.IsArray ? [type.GetElementType()!] : type.GetGenericArguments();
        return inner.Any(part => Weight(part) > 0) ? 2 : 0;
    }

    private static Response Flat(TimeGroup group) => ResponseSumsTests.Flat(1, group);

    /// <summary>A Gaussian click of 1 ms, so many milliseconds late.</summary>
    private static ImpulseResponse Click(TimeGroup group, double lateMs = 0)
    {
        const int Rate = 4_000;
        return new(Signals.BandLimited(4_000, Rate, (0, 0.1 + lateMs / 1000, 0.001)), Rate, 0, group.Name is null ? TimeZero.Unknown : TimeZero.Loopback, group, "test");
    }

    private static ResponseResult Result(TimeGroup group) => new([Studies.PlainResponses.In(SoundField.Room)], Click(group), Click(group), Flat(group), new(0.05, 0.5));

    /// <summary>What a careless colleague might add.</summary>
    internal static class Forgotten
    {
        public static int Add(IReadOnlyList<KeyValuePair<string, Response>> responses) => responses?.Count ?? 0;
    }
}
