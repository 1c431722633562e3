// SPDX-License-Identifier: MIT
using System.Reflection.Metadata;
using System.Reflection.PortableExecutable;
using Sweepbook.Report;
using Sweepbook.Tests.HouseRules;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>Upstream has ended the notebook kernel: what the project knows about it stays in two classes, so that it can be left.</summary>
public sealed class KernelKnowledgeTests
{
    private const string Kernel = "Microsoft.DotNet.Interactive";

    [Theory]
    [InlineData("Sweepbook.Report", "KernelSession")]
    [InlineData("Sweepbook.Notebook", "NotebookSetup")]
    public void One_class_of_each_side_knows_the_kernel(string assembly, string knowing) =>
        Assert.Equal([$"{assembly}.{knowing}"], Knowing(Path.Combine(AppContext.BaseDirectory, assembly + ".dll")));

    [Fact]
    public void Knowing_it_is_seen_through_a_method_that_is_called_and_a_value_that_is_held() =>
        Assert.Contains(typeof(Sample).FullName!, Knowing(typeof(Sample).Assembly.Location));

    [Fact]
    public void Nobody_else_refers_to_it() =>
        Assert.DoesNotContain(typeof(Sweepbook.Studies.Study).Assembly.GetReferencedAssemblies(), name => name.Name!.StartsWith(Kernel, StringComparison.Ordinal));

    /// <summary>Outermost types that hold, take, give or call anything of the kernel.</summary>
    private static List<string> Knowing(string path)
    {
        using var image = new PEReader(File.OpenRead(path));
        var metadata = image.GetMetadataReader();
        var found = new SortedSet<string>(StringComparer.Ordinal);
        foreach (var handle in metadata.TypeDefinitions)
        {
            var type = metadata.GetTypeDefinition(handle);
            var names = new KernelNames(metadata, Kernel);
            var knows = names.Has(type.BaseType) || type.GetInterfaceImplementations().Any(one => names.Has(metadata.GetInterfaceImplementation(one).Interface))
                || type.GetFields().Any(field => names.Of(metadata.GetFieldDefinition(field).Signature))
                || type.GetMethods().Select(metadata.GetMethodDefinition).Any(method => names.Of(method.Signature) || Body(image, metadata, method, names));
            if (knows) found.Add(Outermost(metadata, handle));
        }
        return [.. found];
    }

    private static bool Body(PEReader image, MetadataReader metadata, MethodDefinition method, KernelNames names)
    {
        if (method.RelativeVirtualAddress == 0) return false;
        var body = image.GetMethodBody(method.RelativeVirtualAddress);
        return (!body.LocalSignature.IsNil && names.Of(metadata.GetStandaloneSignature(body.LocalSignature).Signature))
            || body.ExceptionRegions.Any(region => names.Has(region.CatchType)) || IntermediateCode.Tokens(body.GetILReader()).Any(names.Has);
    }

    private static string Outermost(MetadataReader metadata, TypeDefinitionHandle handle)
    {
        while (metadata.GetTypeDefinition(handle).GetDeclaringType() is { IsNil: false } outer) handle = outer;
        var type = metadata.GetTypeDefinition(handle);
        return $"{metadata.GetString(type.Namespace)}.{metadata.GetString(type.Name)}";
    }
}

/// <summary>Knows the kernel by a call alone.</summary>
internal static class Sample
{
    public static string Call(object value) => Microsoft.DotNet.Interactive.Formatting.Formatter.ToDisplayString(value);
}
