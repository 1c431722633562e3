// SPDX-License-Identifier: MIT
using System.Reflection.Metadata;
using System.Reflection.PortableExecutable;

namespace Sweepbook.Tests.HouseRules;

/// <summary>One folder uses another, and the first place where it was seen.</summary>
public readonly record struct Arrow(string From, string To, string Where);

/// <summary>
/// Reads every reference between namespaces out of a compiled assembly: base types, interfaces, fields, signatures, properties, events,
/// attributes, generic constraints, locals, catch clauses and each token in each method body, compiler-made types included.
/// </summary>
/// <remarks>Constants and <c>nameof</c> leave no trace in compiled code and cannot be seen.</remarks>
public sealed class ArrowReader
{
    private readonly MetadataReader _metadata;
    private readonly PEReader _image;
    private readonly string _root;
    private readonly FolderNames _names;
    private readonly SortedDictionary<(string From, string To), string> _arrows = [];

    private ArrowReader(PEReader image, string root)
    {
        (_image, _metadata, _root) = (image, image.GetMetadataReader(), root);
        _names = new(_metadata, root);
    }

    /// <summary>All arrows between the folders below the namespace <paramref name="root"/>.</summary>
    public static IReadOnlyList<Arrow> Read(string assemblyPath, string root)
    {
        using var image = new PEReader(File.OpenRead(assemblyPath));
        var reader = new ArrowReader(image, root);
        foreach (var handle in reader._metadata.TypeDefinitions) reader.ReadType(handle);
        return [.. reader._arrows.Select(pair => new Arrow(pair.Key.From, pair.Key.To, pair.Value))];
    }

    /// <summary>Full names of types that live in no folder, compiler-made ones aside.</summary>
    public static IReadOnlyList<string> Homeless(string assemblyPath, string root)
    {
        using var image = new PEReader(File.OpenRead(assemblyPath));
        var reader = new ArrowReader(image, root);
        return [.. reader._metadata.TypeDefinitions
            .Where(handle => reader._names.Of(handle) is null && !reader._names.IsCompilerMade(handle))
            .Select(reader._names.FullName)];
    }

    private void ReadType(TypeDefinitionHandle handle)
    {
        if (_names.Of(handle) is not string from) return;
        var type = _metadata.GetTypeDefinition(handle);
        var place = _names.FullName(handle);
        void Uses(EntityHandle used, string where) => Add(from, _names.OfToken(used), where);

        if (!type.BaseType.IsNil) Uses(type.BaseType, $"base type of {place}");
        foreach (var implemented in type.GetInterfaceImplementations())
            Uses(_metadata.GetInterfaceImplementation(implemented).Interface, $"interface of {place}");
        Attributes(type.GetCustomAttributes(), from, place);
        Constraints(type.GetGenericParameters(), from, place);
        foreach (var field in type.GetFields())
        {
            var where = $"{place}.{_metadata.GetString(_metadata.GetFieldDefinition(field).Name)}";
            Uses(field, where);
            Attributes(_metadata.GetFieldDefinition(field).GetCustomAttributes(), from, where);
        }
        foreach (var property in type.GetProperties())
        {
            var definition = _metadata.GetPropertyDefinition(property);
            var where = $"{place}.{_metadata.GetString(definition.Name)}";
            Add(from, _names.OfSignature(definition.Signature), where);
            Attributes(definition.GetCustomAttributes(), from, where);
        }
        foreach (var @event in type.GetEvents())
            Uses(_metadata.GetEventDefinition(@event).Type, $"{place}.{_metadata.GetString(_metadata.GetEventDefinition(@event).Name)}");
        foreach (var method in type.GetMethods()) ReadMethod(method, from, place);
    }

    private void ReadMethod(MethodDefinitionHandle handle, string from, string type)
    {
        var method = _metadata.GetMethodDefinition(handle);
        var place = $"{type}.{_metadata.GetString(method.Name)}";
        Add(from, _names.OfSignature(method.Signature), $"signature of {place}");
        Attributes(method.GetCustomAttributes(), from, place);
        Constraints(method.GetGenericParameters(), from, place);
        foreach (var parameter in method.GetParameters())
            Attributes(_metadata.GetParameter(parameter).GetCustomAttributes(), from, $"parameter of {place}");
        if (method.RelativeVirtualAddress == 0) return;

        var body = _image.GetMethodBody(method.RelativeVirtualAddress);
        if (!body.LocalSignature.IsNil)
            Add(from, _names.OfSignature(_metadata.GetStandaloneSignature(body.LocalSignature).Signature), $"local in {place}");
        foreach (var region in body.ExceptionRegions)
            if (!region.CatchType.IsNil) Add(from, _names.OfToken(region.CatchType), $"catch in {place}");
        foreach (var token in IntermediateCode.Tokens(body.GetILReader()))
            Add(from, _names.OfToken(token), $"body of {place}");
    }

    private void Attributes(CustomAttributeHandleCollection handles, string from, string place)
    {
        foreach (var handle in handles)
        {
            var attribute = _metadata.GetCustomAttribute(handle);
            Add(from, _names.OfToken(attribute.Constructor), $"attribute on {place}");
            Add(from, _names.OfTypeNames(attribute.Value), $"attribute on {place}");
        }
    }

    private void Constraints(GenericParameterHandleCollection handles, string from, string place)
    {
        foreach (var parameter in handles)
            foreach (var constraint in _metadata.GetGenericParameter(parameter).GetConstraints())
                Add(from, _names.OfToken(_metadata.GetGenericParameterConstraint(constraint).Type), $"constraint on {place}");
    }

    private void Add(string from, IEnumerable<string> folders, string where)
    {
        foreach (var to in folders)
            if (to != from) _arrows.TryAdd((from, to), where);
    }
}
