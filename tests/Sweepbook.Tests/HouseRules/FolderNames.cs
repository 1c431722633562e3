// SPDX-License-Identifier: MIT
using System.Collections.Immutable;
using System.Reflection.Metadata;
using System.Reflection.Metadata.Ecma335;
using System.Text;

namespace Sweepbook.Tests.HouseRules;

/// <summary>From any metadata token or signature to the folders that it names. A nested type lives where its outermost type lives.</summary>
public sealed class FolderNames(MetadataReader metadata, string root) : ISignatureTypeProvider<IEnumerable<string>, object?>
{
    private readonly string _prefix = root + ".";

    /// <summary>The folder of a type of this assembly, or null where its namespace is not below the root.</summary>
    public string? Of(TypeDefinitionHandle handle)
    {
        var space = metadata.GetString(metadata.GetTypeDefinition(Outermost(handle)).Namespace);
        return space.StartsWith(_prefix, StringComparison.Ordinal) ? space[_prefix.Length..] : null;
    }

    /// <summary>Namespace and name, nested types joined by a plus.</summary>
    public string FullName(TypeDefinitionHandle handle)
    {
        var type = metadata.GetTypeDefinition(handle);
        var name = metadata.GetString(type.Name);
        if (!type.GetDeclaringType().IsNil) return $"{FullName(type.GetDeclaringType())}+{name}";
        return type.Namespace.IsNil ? name : $"{metadata.GetString(type.Namespace)}.{name}";
    }

    /// <summary>True for <c>&lt;Module&gt;</c>, private implementation details, anonymous types and attributes that the compiler embeds.</summary>
    public bool IsCompilerMade(TypeDefinitionHandle handle)
    {
        var type = metadata.GetTypeDefinition(Outermost(handle));
        var space = metadata.GetString(type.Namespace);
        return metadata.GetString(type.Name).StartsWith('<') || space is "Microsoft.CodeAnalysis" or "System.Runtime.CompilerServices";
    }

    /// <summary>The folders named by a token: a type, a method with its whole signature, a field with its type, a signature.</summary>
    public IEnumerable<string> OfToken(EntityHandle token)
    {
        switch (token.Kind)
        {
            case HandleKind.TypeDefinition:
                return Of((TypeDefinitionHandle)token) is string folder ? [folder] : [];
            case HandleKind.TypeSpecification:
                return metadata.GetTypeSpecification((TypeSpecificationHandle)token).DecodeSignature(this, null);
            case HandleKind.FieldDefinition:
                var field = metadata.GetFieldDefinition((FieldDefinitionHandle)token);
                return OfToken(field.GetDeclaringType()).Concat(field.DecodeSignature(this, null));
            case HandleKind.MethodDefinition:
                var method = metadata.GetMethodDefinition((MethodDefinitionHandle)token);
                return OfToken(method.GetDeclaringType()).Concat(OfSignature(method.Signature));
            case HandleKind.MemberReference:
                var member = metadata.GetMemberReference((MemberReferenceHandle)token);
                return OfToken(member.Parent).Concat(OfSignature(member.Signature));
            case HandleKind.MethodSpecification:
                var specification = metadata.GetMethodSpecification((MethodSpecificationHandle)token);
                return OfToken(specification.Method).Concat(specification.DecodeSignature(this, null).SelectMany(each => each));
            case HandleKind.StandaloneSignature:
                return OfSignature(metadata.GetStandaloneSignature((StandaloneSignatureHandle)token).Signature);
            default:
                return [];   // types and members of other assemblies
        }
    }

    /// <summary>The folders named by a signature of any kind.</summary>
    public IEnumerable<string> OfSignature(BlobHandle signature)
    {
        var blob = metadata.GetBlobReader(signature);
        var decoder = new SignatureDecoder<IEnumerable<string>, object?>(this, metadata, null);
        switch (metadata.GetBlobReader(signature).ReadSignatureHeader().Kind)
        {
            case SignatureKind.Field: return decoder.DecodeFieldSignature(ref blob);
            case SignatureKind.LocalVariables: return decoder.DecodeLocalSignature(ref blob).SelectMany(each => each);
            case SignatureKind.MethodSpecification: return decoder.DecodeMethodSpecificationSignature(ref blob).SelectMany(each => each);
            default: return All(decoder.DecodeMethodSignature(ref blob));
        }
    }

    /// <summary>The folders named inside an attribute's arguments, where the compiler keeps <c>typeof</c> as text.</summary>
    public IEnumerable<string> OfTypeNames(BlobHandle attributeValue)
    {
        var text = Encoding.UTF8.GetString(metadata.GetBlobBytes(attributeValue));
        if (!text.Contains(_prefix, StringComparison.Ordinal)) return [];
        return metadata.TypeDefinitions
            .Where(handle => Of(handle) is not null && text.Contains(FullName(handle), StringComparison.Ordinal))
            .Select(handle => Of(handle)!);
    }

    private TypeDefinitionHandle Outermost(TypeDefinitionHandle handle)
    {
        while (metadata.GetTypeDefinition(handle).GetDeclaringType() is { IsNil: false } outer) handle = outer;
        return handle;
    }

    private static IEnumerable<string> All(MethodSignature<IEnumerable<string>> signature) =>
        signature.ReturnType.Concat(signature.ParameterTypes.SelectMany(each => each));

    IEnumerable<string> ISimpleTypeProvider<IEnumerable<string>>.GetPrimitiveType(PrimitiveTypeCode typeCode) => [];

    IEnumerable<string> ISimpleTypeProvider<IEnumerable<string>>.GetTypeFromDefinition(MetadataReader reader, TypeDefinitionHandle handle, byte rawTypeKind) => OfToken(handle);

    IEnumerable<string> ISimpleTypeProvider<IEnumerable<string>>.GetTypeFromReference(MetadataReader reader, TypeReferenceHandle handle, byte rawTypeKind) => [];

    IEnumerable<string> ISZArrayTypeProvider<IEnumerable<string>>.GetSZArrayType(IEnumerable<string> elementType) => elementType;

    IEnumerable<string> IConstructedTypeProvider<IEnumerable<string>>.GetArrayType(IEnumerable<string> elementType, ArrayShape shape) => elementType;

    IEnumerable<string> IConstructedTypeProvider<IEnumerable<string>>.GetByReferenceType(IEnumerable<string> elementType) => elementType;

    IEnumerable<string> IConstructedTypeProvider<IEnumerable<string>>.GetGenericInstantiation(IEnumerable<string> genericType, ImmutableArray<IEnumerable<string>> typeArguments) =>
        genericType.Concat(typeArguments.SelectMany(each => each));

    IEnumerable<string> IConstructedTypeProvider<IEnumerable<string>>.GetPointerType(IEnumerable<string> elementType) => elementType;

    IEnumerable<string> ISignatureTypeProvider<IEnumerable<string>, object?>.GetFunctionPointerType(MethodSignature<IEnumerable<string>> signature) => All(signature);

    IEnumerable<string> ISignatureTypeProvider<IEnumerable<string>, object?>.GetGenericMethodParameter(object? genericContext, int index) => [];

    IEnumerable<string> ISignatureTypeProvider<IEnumerable<string>, object?>.GetGenericTypeParameter(object? genericContext, int index) => [];

    IEnumerable<string> ISignatureTypeProvider<IEnumerable<string>, object?>.GetModifiedType(IEnumerable<string> modifier, IEnumerable<string> unmodifiedType, bool isRequired) =>
        modifier.Concat(unmodifiedType);

    IEnumerable<string> ISignatureTypeProvider<IEnumerable<string>, object?>.GetPinnedType(IEnumerable<string> elementType) => elementType;

    IEnumerable<string> ISignatureTypeProvider<IEnumerable<string>, object?>.GetTypeFromSpecification(MetadataReader reader, object? genericContext, TypeSpecificationHandle handle, byte rawTypeKind) =>
        reader.GetTypeSpecification(handle).DecodeSignature(this, genericContext);
}
