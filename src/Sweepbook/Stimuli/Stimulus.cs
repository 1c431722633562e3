// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Sweepbook.Files;
using Sweepbook.Quantities;

namespace Sweepbook.Stimuli;

/// <summary>The exact samples that are played: silence, one sweep with half-cosine fades, silence; and the timing marker, in a channel of its own. Full scale is ±1.</summary>
/// <remarks>
/// Samples are those of a 24-bit file from the start, so that a stimulus is equal before it is written and after it is read back.
/// Misleads where a player resamples or changes the volume: then what was played is no longer this. A loopback channel shows it.
/// </remarks>
public sealed class Stimulus
{
    private const double MarkerFadeRatio = 0.1;    // of the marker's length at either end: short of a click, and most of the length at full level
    private readonly double[] _samples, _marker;

    private Stimulus(StimulusDescription description, double[] samples, double[] marker) => (Description, _samples, _marker) = (description, samples, marker);

    /// <summary>What the samples are.</summary>
    public StimulusDescription Description { get; }

    /// <summary>Samples per second.</summary>
    public int SampleRateHz => Description.SampleRateHz;

    /// <summary>Number of samples, silence included.</summary>
    public int Length => _samples.Length;

    /// <summary>First sample of the sweep.</summary>
    public int SweepStart => Description.LeadInSamples;

    /// <summary>First sample after the sweep.</summary>
    public int SweepEnd => Description.LeadInSamples + Description.SweepSamples;

    /// <summary>Sample <paramref name="n"/>, counted from 0; full scale ±1.</summary>
    public double this[int n] => _samples[n];

    /// <summary>All samples of the sweep's channel, as a copy that the caller owns; the marker is not among them.</summary>
    public double[] ToArray() => [.. _samples];

    /// <summary>True where a marker is played beside the sweep.</summary>
    public bool HasMarker => _marker.Length > 0;

    /// <summary>All samples of the marker's channel, as long as the stimulus, as a copy that the caller owns; empty where there is no marker.</summary>
    public double[] MarkerToArray() => [.. _marker];

    internal ReadOnlySpan<double> Samples => _samples;

    internal ReadOnlySpan<double> MarkerSamples => _marker;

    /// <summary>x[n] = A · w[n] · sin(2π · cycles(n / rate)), rounded to 24 bits; the marker likewise.</summary>
    /// <param name="description">A sweep played once, with or without a marker.</param>
    /// <returns>
    /// Lead-in, sweep and tail; the peak A is the description's level, w rises and falls as a half cosine inside the sweep. Cycles, with t from its start and
    /// L = T / ln(f₂ / f₁): exponential f₁ · L · (e^{t/L} − 1); synchronised the same with f₁ · L rounded to a whole number, so that the sweep lasts
    /// a little longer or shorter than asked, and the returned description says how long; linear f₁t + (f₂ − f₁)t² / (2T).
    /// A marker is an exponential sweep of the same level, faded over a tenth of its length at either end. Where a marker has no output yet, the outputs
    /// become sweep = 1 and marker = 2.
    /// </returns>
    /// <exception cref="ArgumentException">The description breaks a rule: names the key, the value and what is allowed.</exception>
    /// <exception cref="DataFault">Repeats: not supported yet.</exception>
    /// <remarks>
    /// The fades take energy from the ends: expect a weaker spectrum over the first and last few cycles. A linear sweep keeps its harmonics inside its own
    /// response, where an exponential one moves them out of the way.
    /// Source: A. Farina, "Simultaneous Measurement of Impulse Response and Distortion with a Swept-Sine Technique",
    /// 108th AES Convention (2000), preprint 5093; A. Novak et al., IEEE Trans. Instrum. Meas. 59 (2010) 2220–2229 (synchronised).
    /// </remarks>
    public static Stimulus From(StimulusDescription description)
    {
        ArgumentNullException.ThrowIfNull(description);
        var whole = StimulusRules.Completed(description);
        if (StimulusRules.FirstBroken(whole) is { } broken)
            throw new ArgumentException($"{broken.Problem}. {broken.Remedy}", nameof(description));
        if (StimulusRules.FirstUnsupported(whole) is { } missing)
            throw new DataFault(whole.File ?? "the stimulus", null, missing.Problem, missing.Remedy);
        var samples = new double[whole.LeadInSamples + whole.SweepSamples + whole.TailSamples];
        SweepSamples.Fill(samples.AsSpan(whole.LeadInSamples, whole.SweepSamples), whole.Law, whole.SampleRateHz, (whole.FadeInSeconds, whole.FadeOutSeconds), whole.LevelDbfs);
        return new(whole, samples, whole.Marker is { } marker ? MarkerOf(whole, marker, samples.Length) : []);
    }

    /// <summary>Reads a description and the WAV file that it names.</summary>
    /// <param name="descriptionPath">The TOML file.</param>
    /// <param name="shownAs">How faults name it; the path itself where null.</param>
    /// <returns>The samples of the WAV file, unchanged.</returns>
    /// <exception cref="DataFault">
    /// A fault in the description; the WAV is missing, damaged, of another rate, length or number of channels; its SHA-256 differs; or not supported yet.
    /// </exception>
    /// <remarks>Does not compute the sweep anew: the file is what was played, and the SHA-256 is what says that it still is.</remarks>
    public static Stimulus Read(string descriptionPath, string? shownAs = null)
    {
        var shown = shownAs ?? descriptionPath;
        var table = TomlDocument.Read(descriptionPath, shown);
        var description = StimulusRules.Completed(StimulusToml.Read(table));
        if (StimulusRules.FirstUnsupported(description) is { } missing) throw table.Fault(missing.Key, missing.Problem, missing.Remedy);
        var folder = Path.GetDirectoryName(Path.GetFullPath(descriptionPath))!;
        var path = PathInside.Resolve(folder, description.File!, shown, table.LineOf("file"));
        var wav = BesideInName(shown, description.File!);
        var sum = FileHash.Sha256(path, wav);
        if (description.Sha256 is null) throw new DataFault(shown, table.Line, $"the description has no `sha256` of {wav}", $"If the file is the one that was played, add sha256 = \"{sum}\".");
        if (description.Sha256 != sum)
            throw table.Fault("sha256", $"{wav} is not the file that was described: its SHA-256 begins with {sum[..8]}, the description says {description.Sha256[..8]}",
                "Restore the original file, or write stimulus and description anew.");
        var recording = WavFile.Read(path, wav);
        if (recording.SampleRateHz != description.SampleRateHz) throw new DataFault(wav, null, OtherRate(recording.SampleRateHz, description.SampleRateHz), "Use the WAV file that was written with the description.");
        var channels = ChannelsOf(description, recording, wav);
        var length = description.LeadInSamples + description.SweepSamples + description.TailSamples;
        if (recording.Length != length)
            throw new DataFault(wav, null, $"the file has {recording.Length} samples, the description says {length} (lead-in, sweep and tail)", "Correct the description, or write both anew.");
        if (channels.Problem(recording) is { } problem) throw new DataFault(wav, null, problem, "Correct device_outputs, or write both anew.");
        return new(description, recording.Channel(channels.Sweep[0]), channels.Marker > 0 ? recording.Channel(channels.Marker) : []);
    }

    /// <summary>Writes the WAV file (24 bits) and, beside it, the description with its SHA-256.</summary>
    /// <param name="descriptionPath">Where the TOML file goes. The WAV is named by the description, or like the TOML file where it names none.</param>
    /// <param name="layout">Which channels the WAV gets: the sweep in every named output but the marker's, the marker in its own, silence in the others.</param>
    /// <exception cref="DataFault">One of the two files exists already, or the disk refuses; then neither file is left behind.</exception>
    /// <remarks>Never overwrites: takes that were made with an older stimulus need it. Own convention; it needs no source.</remarks>
    public void Write(string descriptionPath, StimulusLayout layout = StimulusLayout.Shortest)
    {
        ArgumentException.ThrowIfNullOrEmpty(descriptionPath);
        var channels = StimulusChannels.Of(Description, layout);
        if (channels.Count > Recording.MostChannels) throw new ArgumentException($"The highest output is channel {channels.Count}; a WAV file with every output has at most {Recording.MostChannels}.", nameof(layout));
        var file = Description.File ?? Path.GetFileNameWithoutExtension(descriptionPath) + ".wav";
        var wav = PathInside.Resolve(Path.GetDirectoryName(Path.GetFullPath(descriptionPath))!, file, descriptionPath, null);
        foreach (var path in new[] { descriptionPath, wav })
            if (File.Exists(path)) throw new DataFault(path, null, "this file exists already and is not overwritten", "Choose another name, or move the old file away first.");
        WavFile.Write(wav, Recording.Owning(SampleRateHz, channels.Fill(_samples, _marker)), WavEncoding.Integer24);
        try
        {
            var text = (Description with { File = file, Sha256 = FileHash.Sha256(wav) }).ToToml();
            AtomicFile.Create(descriptionPath, stream => stream.Write(Encoding.UTF8.GetBytes(text)));
        }
        catch
        {
            File.Delete(wav);
            throw;
        }
    }

    /// <summary>Says what is wrong with a rate, and names the classic mix-up.</summary>
    internal static string OtherRate(int fileHz, int describedHz)
    {
        var mixedUp = (fileHz, describedHz) is (44_100, 48_000) or (48_000, 44_100);
        return string.Create(CultureInfo.InvariantCulture, $"the sample rate is {fileHz} Hz, the stimulus has {describedHz} Hz{(mixedUp ? ": the 44.1/48 kHz mix-up" : "")}");
    }

    private static double[] MarkerOf(StimulusDescription description, MarkerDescription marker, int length)
    {
        var samples = new double[length];
        var fade = MarkerFadeRatio * marker.LengthSeconds;
        var first = samples.AsSpan(description.ToSamples(marker.StartSeconds), description.ToSamples(marker.LengthSeconds));
        SweepSamples.Fill(first, marker.Law, description.SampleRateHz, (fade, fade), description.LevelDbfs);
        if (marker.RepeatStartSeconds is { } again) first.CopyTo(samples.AsSpan(description.ToSamples(again)));
        return samples;
    }

    private static StimulusChannels ChannelsOf(StimulusDescription description, Recording recording, string wav)
    {
        var channels = StimulusChannels.Of(description, recording.ChannelCount == 1 ? StimulusLayout.Shortest : StimulusLayout.EveryOutput);
        if (recording.ChannelCount == channels.Count) return channels;
        throw new DataFault(wav, null, $"the file has {recording.ChannelCount} {(recording.ChannelCount == 1 ? "channel" : "channels")}, the description asks for {channels.Count}{(channels.Count == 1 ? "" : " (device_outputs)")}",
            "Correct the description, or write both anew.");
    }

    private static string BesideInName(string shown, string file) => shown.LastIndexOf('/') is var slash && slash >= 0 ? shown[..(slash + 1)] + file : file;
}
