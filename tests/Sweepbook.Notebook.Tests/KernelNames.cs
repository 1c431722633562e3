// SPDX-License-Identifier: MIT
using System.Collections.Immutable;
using System.Reflection.Metadata;
using System.Reflection.Metadata.Ecma335;

namespace Sweepbook.Notebook.Tests;

/// <summary>Whether a token or a signature names a type below a namespace of another assembly.</summary>
internal sealed class KernelNames(MetadataReader metadata, string space) : ISignatureTypeProvider<bool, object?>
{
    public bool Has(EntityHandle token) => !token.IsNil && token.Kind switch
    {
        HandleKind.TypeReference => GetTypeFromReference(metadata, (TypeReferenceHandle)token, 0),
        HandleKind.TypeSpecification => metadata.GetTypeSpecification((TypeSpecificationHandle)token).DecodeSignature(this, null),
        HandleKind.MemberReference => Has(metadata.GetMemberReference((MemberReferenceHandle)token).Parent) || Of(metadata.GetMemberReference((MemberReferenceHandle)token).Signature),
        HandleKind.MethodSpecification => Has(metadata.GetMethodSpecification((MethodSpecificationHandle)token).Method) || metadata.GetMethodSpecification((MethodSpecificationHandle)token).DecodeSignature(this, null).Any(one => one),
        _ => false,   // own types and members are looked at themselves
    };

    public bool Of(BlobHandle signature)
    {
        var blob = metadata.GetBlobReader(signature);
        var decoder = new SignatureDecoder<bool, object?>(this, metadata, null);
        switch (metadata.GetBlobReader(signature).ReadSignatureHeader().Kind)
        {
            case SignatureKind.Field: return decoder.DecodeFieldSignature(ref blob);
            case SignatureKind.LocalVariables: return decoder.DecodeLocalSignature(ref blob).Any(one => one);
            default:
                var method = decoder.DecodeMethodSignature(ref blob);
                return method.ReturnType || method.ParameterTypes.Any(one => one);
        }
    }

    public bool GetTypeFromReference(MetadataReader reader, TypeReferenceHandle handle, byte rawTypeKind)
    {
        var type = reader.GetTypeReference(handle);
        while (type.ResolutionScope.Kind == HandleKind.TypeReference) type = reader.GetTypeReference((TypeReferenceHandle)type.ResolutionScope);
        return reader.GetString(type.Namespace) is var name && (name == space || name.StartsWith(space + ".", StringComparison.Ordinal));
    }

    public bool GetTypeFromDefinition(MetadataReader reader, TypeDefinitionHandle handle, byte rawTypeKind) => false;

    public bool GetTypeFromSpecification(MetadataReader reader, object? genericContext, TypeSpecificationHandle handle, byte rawTypeKind) => reader.GetTypeSpecification(handle).DecodeSignature(this, genericContext);

    public bool GetPrimitiveType(PrimitiveTypeCode typeCode) => false;

    public bool GetSZArrayType(bool elementType) => elementType;

    public bool GetArrayType(bool elementType, ArrayShape shape) => elementType;

    public bool GetByReferenceType(bool elementType) => elementType;

    public bool GetPointerType(bool elementType) => elementType;

    public bool GetPinnedType(bool elementType) => elementType;

    public bool GetGenericInstantiation(bool genericType, ImmutableArray<bool> typeArguments) => genericType || typeArguments.Any(one => one);

    public bool GetFunctionPointerType(MethodSignature<bool> signature) => signature.ReturnType || signature.ParameterTypes.Any(one => one);

    public bool GetGenericMethodParameter(object? genericContext, int index) => false;

    public bool GetGenericTypeParameter(object? genericContext, int index) => false;

    public bool GetModifiedType(bool modifier, bool unmodifiedType, bool isRequired) => modifier || unmodifiedType;
}
