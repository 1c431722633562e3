// SPDX-License-Identifier: MIT
using System.Reflection;
using System.Runtime.CompilerServices;

namespace Sweepbook.Tests.HouseRules;

/// <summary>The house rules that reflection can see. Each method returns the offenders, worded for a person; none is good.</summary>
public static class PublicSurface
{
    private const int MostPublicTypes = 12;

    private static readonly string[] Units =
        ["Hz", "Db", "Dbfs", "Seconds", "Ms", "Metres", "Samples", "Degrees", "Radians", "Octaves", "Ppm", "Percent", "Permille", "Celsius", "MetresPerSecond", "Ratio"];

    private const BindingFlags Everything =
        BindingFlags.Public | BindingFlags.NonPublic | BindingFlags.Instance | BindingFlags.Static | BindingFlags.DeclaredOnly;

    /// <summary>Public types that a person wrote, in namespaces that start with <paramref name="root"/>.</summary>
    public static IReadOnlyList<Type> PublicTypes(Assembly assembly, string root) =>
        [.. assembly.GetExportedTypes().Where(type => (type.Namespace + ".").StartsWith(root + ".", StringComparison.Ordinal))];

    /// <summary>The folders of an assembly: what follows the root in its namespaces.</summary>
    public static IReadOnlyList<string> Folders(Assembly assembly, string root) =>
        [.. PublicTypes(assembly, root).Select(type => type.Namespace![root.Length..].TrimStart('.')).Distinct().Order()];

    /// <summary>Public parameters of type double whose name does not end in a unit.</summary>
    /// <remarks>A parameter called <c>value</c> may stand beside one called <c>unit</c>, which then says it; a conversion takes its meaning from its type.</remarks>
    public static IEnumerable<string> NumbersWithoutUnit(IEnumerable<Type> types) =>
        from type in types
        from method in type.GetMembers(Everything).OfType<MethodBase>().Concat(IndexerGetters(type))
        where IsReachable(method) && method.Name is not ("Deconstruct" or "op_Implicit" or "op_Explicit") && !(method.IsSpecialName && method.Name.StartsWith("set_", StringComparison.Ordinal))
        let parameters = method.GetParameters()
        from parameter in parameters
        where IsNumber(parameter.ParameterType) && !HasUnit(parameter.Name!) && !(Is(parameter, "value") && parameters.Any(other => Is(other, "unit")))
        select $"{type.FullName}.{method.Name}({parameter.Name})";

    /// <summary>Public properties that hand out a span: a notebook cell cannot keep one.</summary>
    public static IEnumerable<string> SpanProperties(IEnumerable<Type> types) =>
        from type in types
        from property in type.GetProperties(Everything)
        where property.GetMethod is { } getter && IsReachable(getter) && property.PropertyType.IsByRefLike
        select $"{type.FullName}.{property.Name}";

    /// <summary>Public setters other than <c>init</c>, and public fields that can be changed.</summary>
    public static IEnumerable<string> Setters(IEnumerable<Type> types) =>
        (from type in types
         from property in type.GetProperties(Everything)
         where property.SetMethod is { } setter && IsReachable(setter)
             && !setter.ReturnParameter.GetRequiredCustomModifiers().Contains(typeof(IsExternalInit))
         select $"{type.FullName}.{property.Name}")
        .Concat(from type in types
                from field in type.GetFields(Everything)
                where field.IsPublic && !field.IsInitOnly && !field.IsLiteral && !field.IsSpecialName
                select $"{type.FullName}.{field.Name}");

    /// <summary>Public classes that are neither sealed nor static.</summary>
    public static IEnumerable<string> UnsealedClasses(IEnumerable<Type> types) =>
        from type in types where type.IsClass && !type.IsSealed select type.FullName;

    /// <summary>Namespaces with more public types than a reader can hold.</summary>
    public static IEnumerable<string> CrowdedNamespaces(IEnumerable<Type> types) =>
        from type in types
        where !type.IsNested
        group type by type.Namespace into space
        where space.Count() > MostPublicTypes
        select $"{space.Key}: {space.Count()} public types, {MostPublicTypes} at most";

    /// <summary>Types that bear the name of a folder.</summary>
    public static IEnumerable<string> NamedLikeAFolder(IEnumerable<Type> types, IEnumerable<string> folders) =>
        from type in types where folders.Contains(type.Name.Split('`')[0]) select type.FullName;

    private static IEnumerable<MethodBase> IndexerGetters(Type type) =>
        type.GetProperties(Everything).Where(property => property.GetIndexParameters().Length > 0 && property.GetMethod is not null).Select(property => property.GetMethod!);

    private static bool IsReachable(MethodBase method) => method.IsPublic || method.IsFamily || method.IsFamilyOrAssembly;

    private static bool IsNumber(Type type)
    {
        var bare = type.IsByRef ? type.GetElementType()! : type;
        return (Nullable.GetUnderlyingType(bare) ?? bare) == typeof(double);
    }

    private static bool HasUnit(string name) =>
        name is "q" or "Q" or "weight" or "Weight" || Units.Any(unit => name.EndsWith(unit, StringComparison.Ordinal) || Same(name, unit));

    private static bool Is(ParameterInfo parameter, string name) => Same(parameter.Name!, name);

    private static bool Same(string a, string b) => string.Equals(a, b, StringComparison.OrdinalIgnoreCase);
}
