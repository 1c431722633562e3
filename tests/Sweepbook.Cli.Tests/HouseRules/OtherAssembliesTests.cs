// SPDX-License-Identifier: MIT
using System.Reflection;
using Sweepbook.Tests.HouseRules;
using Xunit;

namespace Sweepbook.Cli.Tests.HouseRules;

/// <summary>The rules of the public surface hold around the library too; that they can fail is shown beside them, in the library's tests.</summary>
public sealed class OtherAssembliesTests
{
    public static TheoryData<string> Assemblies => ["Sweepbook.Bootstrap", "Sweepbook.Notebook", "Sweepbook.Report"];

    [Theory, MemberData(nameof(Assemblies))]
    public void The_house_rules_hold_in_every_assembly(string name)
    {
        var types = PublicSurface.PublicTypes(Assembly.LoadFrom(Path.Combine(AppContext.BaseDirectory, name + ".dll")), name);
        Assert.NotEmpty(types);
        Faults.None([
            .. PublicSurface.NumbersWithoutUnit(types),
            .. PublicSurface.SpanProperties(types),
            .. PublicSurface.Setters(types),
            .. PublicSurface.UnsealedClasses(types),
            .. PublicSurface.CrowdedNamespaces(types),
        ]);
    }
}
