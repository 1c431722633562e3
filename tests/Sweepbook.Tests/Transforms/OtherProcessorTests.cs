// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Runtime.Intrinsics;
using Sweepbook.Tests.Filters;
using Sweepbook.Tests.Spectra;
using Xunit;

namespace Sweepbook.Tests.Transforms;

/// <summary>
/// The oracles of transform, filters and smoothing once more, in a process of their own that believes to run on a lesser processor: this very
/// test program, asked for those classes only. The widths that a register has are fixed when a process starts.
/// </summary>
public sealed class OtherProcessorTests
{
    /// <summary>Everything that adds or multiplies in registers; 512-bit ones are used by the filters alone.</summary>
    private static readonly Type[] OfFilters = [typeof(BandFilterTests), typeof(FilterBankTests), typeof(FilterCascadeTests), typeof(SciPyFilterTests)];

    private static readonly Type[] OfTheRest =
    [
        typeof(FourierTransformTests), typeof(SciPyTests), typeof(ConvolutionTests), typeof(DiscreteTimeTransformTests), typeof(ResamplingTests),
        typeof(MinimumPhaseTests), typeof(AnalyticSignalTests), typeof(FractionalDelayTests), typeof(SmoothingTests), typeof(SmoothingWidthsTests),
    ];

    /// <summary>They read coefficients only, which are the same on every processor, and take the longest.</summary>
    private static readonly string[] OfCoefficients =
        [nameof(BandFilterTests.Every_band_keeps_the_class_1_limits_as_used), nameof(BandFilterTests.Integrated_responses_stay_within_0_4_dB)];

    /// <summary>The register width in bits that the child process must do without, and cannot have by mistake: the switch has to have worked.</summary>
    internal const string Expectation = "SWEEPBOOK_EXPECT_REGISTERS_BELOW_BITS";

    /// <summary>A hang, not a slow machine: the oracles take some 4 s.</summary>
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(3);

    [Theory, InlineData("DOTNET_EnableAVX512", 512), InlineData("DOTNET_EnableAVX2", 256), InlineData("DOTNET_EnableHWIntrinsic", 256)]
    public async Task The_oracles_hold_on_a_processor_without(string variable, int belowBits)
    {
        var test = Path.Combine(AppContext.BaseDirectory, typeof(OtherProcessorTests).Assembly.GetName().Name + ".dll");
        ProcessStartInfo start = new("dotnet") { RedirectStandardOutput = true, RedirectStandardError = true, RedirectStandardInput = true };
        start.ArgumentList.Add(test);
        foreach (var oracle in (Type[])[.. OfFilters, .. belowBits == 512 ? [] : OfTheRest, typeof(NarrowRegisterTests)])
        {
            start.ArgumentList.Add("-class");
            start.ArgumentList.Add(oracle.FullName!);
        }
        foreach (var name in OfCoefficients)
        {
            start.ArgumentList.Add("-method-");
            start.ArgumentList.Add($"{typeof(BandFilterTests).FullName}.{name}");
        }
        // What a test host sets for itself must not reach the child.
        foreach (var inherited in start.Environment.Keys.Where(key => key.Contains("TESTINGPLATFORM", StringComparison.OrdinalIgnoreCase)).ToArray())
            start.Environment.Remove(inherited);
        start.Environment[variable] = "0";
        start.Environment[Expectation] = $"{belowBits}";

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
        Assert.Matches(belowBits == 512 ? @"Total: [5-9]\d," : @"Total: [5-9]\d\d,", said);   // so that an empty run is no success, nor half a run
    }
}

/// <summary>Where a process was told to do without wide registers, it really does.</summary>
public sealed class NarrowRegisterTests
{
    [Fact]
    public void Wide_registers_are_off_where_they_were_switched_off()
    {
        if (!int.TryParse(Environment.GetEnvironmentVariable(OtherProcessorTests.Expectation), out var belowBits)) return;
        Assert.False(Vector512.IsHardwareAccelerated);
        Assert.False(belowBits <= 256 && Vector256.IsHardwareAccelerated);
    }
}
