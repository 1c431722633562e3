// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Runtime.Intrinsics;
using Xunit;

namespace Sweepbook.Tests.Transforms;

/// <summary>
/// The oracles of the transform once more, in a process of their own that believes to run on a lesser processor: this very
/// test program, asked for the transform's classes only. The widths that a register has are fixed when a process starts.
/// </summary>
public sealed class OtherProcessorTests
{
    private static readonly string[] Oracles =
        [nameof(FourierTransformTests), nameof(SciPyTests), nameof(ConvolutionTests), nameof(DiscreteTimeTransformTests), nameof(ResamplingTests)];

    /// <summary>What the child process must find, and cannot by mistake: the switch has to have worked.</summary>
    internal const string Expectation = "SWEEPBOOK_EXPECT_WITHOUT_WIDE_REGISTERS";

    /// <summary>A hang, not a slow machine: the oracles take some 2 s.</summary>
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(3);

    [Theory, InlineData("DOTNET_EnableAVX2"), InlineData("DOTNET_EnableHWIntrinsic")]
    public async Task The_oracles_hold_on_a_processor_without(string variable)
    {
        var test = Path.Combine(AppContext.BaseDirectory, typeof(OtherProcessorTests).Assembly.GetName().Name + ".dll");
        ProcessStartInfo start = new("dotnet") { RedirectStandardOutput = true, RedirectStandardError = true, RedirectStandardInput = true };
        start.ArgumentList.Add(test);
        foreach (var name in (string[])[.. Oracles, nameof(NarrowRegisterTests)])
        {
            start.ArgumentList.Add("-class");
            start.ArgumentList.Add($"{typeof(OtherProcessorTests).Namespace}.{name}");
        }
        // What a test host sets for itself must not reach the child.
        foreach (var inherited in start.Environment.Keys.Where(key => key.Contains("TESTINGPLATFORM", StringComparison.OrdinalIgnoreCase)).ToArray())
            start.Environment.Remove(inherited);
        start.Environment[variable] = "0";
        start.Environment[Expectation] = "1";

        using var child = Process.Start(start) ?? throw new InvalidOperationException("The test program could not be started.");
        child.StandardInput.Close();
        var (output, errors) = (child.StandardOutput.ReadToEndAsync(), child.StandardError.ReadToEndAsync());
        using CancellationTokenSource limit = new(Patience);
        try
        {
            await child.WaitForExitAsync(limit.Token);
        }
        catch (OperationCanceledException)
        {
            child.Kill(entireProcessTree: true);
            Assert.Fail($"With {variable}=0 the oracles did not end within {Patience.TotalMinutes} minutes.");
        }
        var said = await output + await errors;
        Assert.True(child.ExitCode == 0, $"With {variable}=0:\n{said}");
        Assert.Matches(@"Total: [1-9]\d\d", said);   // some hundreds of cases, so that an empty run is no success
    }
}

/// <summary>Where a process was told to do without wide registers, it really does.</summary>
public sealed class NarrowRegisterTests
{
    [Fact]
    public void Wide_registers_are_off_where_they_were_switched_off() =>
        Assert.False(Environment.GetEnvironmentVariable(OtherProcessorTests.Expectation) == "1" && Vector256.IsHardwareAccelerated);
}
