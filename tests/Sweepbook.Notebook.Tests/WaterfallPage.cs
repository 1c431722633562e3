// SPDX-License-Identifier: MIT
using Sweepbook.Decay;
using Sweepbook.Impulses;
using Sweepbook.Report;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>Maps of an invented room with three resonances over a little noise. Public: notebooks of the tests call it.</summary>
public static class SyntheticDecay
{
    private const int RateHz = 3000;

    /// <summary>29.3 Hz for 0.9 s, 71 Hz for 0.7 s and 190 Hz for 0.5 s, and a quick rest; noise some 45 dB below where not asked for more.</summary>
    public static ImpulseResponse Response(double noiseRatio = 4e-3)
    {
        var samples = new double[4 * RateHz];
        var state = 12345u;
        for (var n = 0; n < samples.Length; n++)
        {
            var noise = 0.0;
            for (var k = 0; k < 4; k++) noise += (state = state * 1664525 + 1013904223) / 4294967296.0 - 0.5;
            samples[n] = noiseRatio * noise;
            var t = (n - 300.0) / RateHz;
            if (t < 0) continue;
            foreach (var (frequencyHz, decaySeconds, amplitude) in new[] { (29.3, 0.9, 1.0), (71, 0.7, 0.8), (190, 0.5, 1.0), (45, 0.2, 1.5), (110, 0.15, -1.5), (300, 0.1, 2) })
                samples[n] += amplitude * Math.Exp(-Math.Log(1000) / decaySeconds * t) * Math.Cos(2 * Math.PI * frequencyHz * t);
        }
        return new(samples, RateHz, 0, TimeZero.Unknown, TimeGroup.None, "invented");
    }

    /// <summary>The map of that kind.</summary>
    public static DecayMap Map(DecayMapKind kind) => kind switch
    {
        DecayMapKind.Cumulative => DecayMap.Cumulative(Response(), fromHz: 20, toHz: 500),
        DecayMapKind.Spectrogram => DecayMap.Spectrogram(Response(), fromHz: 20, toHz: 500),
        _ => DecayMap.ConstantRelative(Response(), fromHz: 20, toHz: 500),
    };
}

/// <summary>One page with a figure of every kind, and one browser, for all the tests of waterfalls.</summary>
public sealed class WaterfallPage : IAsyncLifetime
{
    private readonly TestFolder _folder = new();
    private TestBrowser? _browser;

    internal TestBrowser Browser => _browser ?? throw new InvalidOperationException("No browser.");

    internal string File => _folder.File("report.html");

    public async ValueTask InitializeAsync()
    {
        if (TestBrowser.Program is null) return;
        var notebook = _folder.Notebook(
            TestCell.Text("# How does the bass die away?\n\nOne line of answer.", "about"),
            TestFolder.Setup with { Tags = ["about"] },
            TestCell.Text("## What is still to come"),
            TestCell.Code("Figures.Waterfall(SyntheticDecay.Map(Sweepbook.Decay.DecayMapKind.Cumulative), \"an invented room\")"),
            TestCell.Text("## What happens when"),
            TestCell.Code("Figures.Waterfall(SyntheticDecay.Map(Sweepbook.Decay.DecayMapKind.Spectrogram), \"an invented room\")"),
            TestCell.Text("## As the ear divides it"),
            TestCell.Code("Figures.Waterfall(SyntheticDecay.Map(Sweepbook.Decay.DecayMapKind.ConstantRelative), \"an invented room\")"));
        var result = await NotebookRun.StartAsync(new() { Notebook = notebook, Output = _folder.File("executed.ipynb"), Page = File, Title = "Decay", Command = "sweepbook run decay.ipynb" });
        Assert.True(result.Succeeded, result.Failure?.ToString());
        _browser = await TestBrowser.StartAsync();
    }

    public async ValueTask DisposeAsync()
    {
        if (_browser is not null) await _browser.DisposeAsync();
        _folder.Dispose();
    }
}
