// SPDX-License-Identifier: MIT
using Xunit;

namespace Sweepbook.Tests.HouseRules;

public sealed class PublicSurfaceTests
{
    private const string SampleRoot = "Sweepbook.Tests.HouseRules.Surface";
    private static readonly IReadOnlyList<Type> Library = PublicSurface.PublicTypes(typeof(global::Sweepbook.Quantities.Decibels).Assembly, "Sweepbook");
    private static readonly IReadOnlyList<Type> Samples = PublicSurface.PublicTypes(typeof(PublicSurfaceTests).Assembly, SampleRoot);

    [Fact]
    public void Every_number_that_comes_in_says_its_unit() => Faults.None(PublicSurface.NumbersWithoutUnit(Library));

    [Fact]
    public void A_number_without_unit_is_noticed() => Assert.Equal(
        [$"{SampleRoot}.Bad..ctor(frequency)", $"{SampleRoot}.Bad.Read(level)", $"{SampleRoot}.Bad.Shift(delay)", $"{SampleRoot}.Bad.get_Item(place)"],
        PublicSurface.NumbersWithoutUnit(Samples).Distinct().Order(StringComparer.Ordinal));

    [Fact]
    public void No_property_hands_out_a_span() => Faults.None(PublicSurface.SpanProperties(Library));

    [Fact]
    public void A_span_property_is_noticed() => Assert.Equal([$"{SampleRoot}.Bad.Samples"], PublicSurface.SpanProperties(Samples));

    [Fact]
    public void Nothing_public_can_be_changed_after_it_was_made() => Faults.None(PublicSurface.Setters(Library));

    [Fact]
    public void A_setter_and_a_bare_field_are_noticed() =>
        Assert.Equal([$"{SampleRoot}.Bad.Gain", $"{SampleRoot}.Bad.Changed"], PublicSurface.Setters(Samples));

    [Fact]
    public void Every_public_class_is_sealed_or_static() => Faults.None(PublicSurface.UnsealedClasses(Library));

    [Fact]
    public void An_unsealed_class_is_noticed() => Assert.Equal([$"{SampleRoot}.Unsealed"], PublicSurface.UnsealedClasses(Samples));

    [Fact]
    public void No_namespace_has_more_than_twelve_public_types() => Faults.None(PublicSurface.CrowdedNamespaces(Library));

    [Fact]
    public void A_thirteenth_public_type_is_noticed()
    {
        Assert.Equal(13, Samples.Count(type => !type.IsNested));
        Assert.Equal([$"{SampleRoot}: 13 public types, 12 at most"], PublicSurface.CrowdedNamespaces(Samples));
        Faults.None(PublicSurface.CrowdedNamespaces(Samples.Where(type => type != typeof(Surface.One))));
    }

    [Fact]
    public void No_type_bears_the_name_of_a_folder() =>
        Faults.None(PublicSurface.NamedLikeAFolder(typeof(global::Sweepbook.Quantities.Decibels).Assembly.GetTypes(), ArrowTable.Allowed.Keys));

    [Fact]
    public void A_type_named_like_a_folder_is_noticed() =>
        Assert.Equal([$"{SampleRoot}.Filters"], PublicSurface.NamedLikeAFolder(Samples, ArrowTable.Allowed.Keys));
}
