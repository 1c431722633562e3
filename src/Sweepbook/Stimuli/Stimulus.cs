// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Sweepbook.Files;
using Sweepbook.Quantities;

namespace Sweepbook.Stimuli;

/// <summary>The exact samples that are played: silence, one exponential sweep with raised-cosine fades, silence. Full scale is ±1.</summary>
/// <remarks>
/// Samples are those of a 24-bit file from the start, so that a stimulus is equal before it is written and after it is read back.
/// Misleads where a player resamples or changes the volume: then what was played is no longer this. A loopback channel shows it.
/// </remarks>
public sealed class Stimulus
{
    private const double StepsPerUnit = 1 << 23;   // 24-bit integers, full scale ±1
    private readonly double[] _samples;

    private Stimulus(StimulusDescription description, double[] samples) => (Description, _samples) = (description, samples);

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

    /// <summary>All samples, as a copy that the caller owns.</summary>
    public double[] ToArray() => [.. _samples];

    internal ReadOnlySpan<double> Samples => _samples;

    /// <summary>x[n] = A · w[n] · sin(2π · f₁ · L · (e^{t/L} − 1)) with t = n / rate and L = T / ln(f₂ / f₁), rounded to 24 bits.</summary>
    /// <param name="description">An exponential sweep without marker, played once.</param>
    /// <returns>Lead-in, sweep and tail; the peak A is the description's level, w rises and falls as a half cosine inside the sweep.</returns>
    /// <exception cref="ArgumentException">The description breaks a rule: names the key, the value and what is allowed.</exception>
    /// <exception cref="DataFault">A linear or synchronised sweep, a marker or repeats: not supported yet.</exception>
    /// <remarks>
    /// The fades take energy from the ends: expect a weaker spectrum over the first and last few cycles.
    /// Source: A. Farina, "Simultaneous Measurement of Impulse Response and Distortion with a Swept-Sine Technique",
    /// 108th AES Convention (2000), preprint 5093.
    /// </remarks>
    public static Stimulus From(StimulusDescription description)
    {
        ArgumentNullException.ThrowIfNull(description);
        if (StimulusRules.FirstBroken(description) is { } broken)
            throw new ArgumentException($"{broken.Problem}. {broken.Remedy}", nameof(description));
        if (StimulusRules.FirstUnsupported(description) is { } missing)
            throw new DataFault(description.File ?? "the stimulus", null, missing.Problem, missing.Remedy);
        var (rate, length) = ((double)description.SampleRateHz, description.SweepSamples);
        var octaveConstant = description.SweepSeconds / Math.Log(description.EndHz / description.StartHz);
        var level = Decibels.ToAmplitudeRatio(description.LevelDbfs);
        var (rise, fall) = (description.FadeInSeconds * rate, description.FadeOutSeconds * rate);
        var samples = new double[description.LeadInSamples + length + description.TailSamples];
        for (var n = 0; n < length; n++)
        {
            var cycles = description.StartHz * octaveConstant * (Math.Exp(n / rate / octaveConstant) - 1);
            var value = level * HalfCosine(n, rise) * HalfCosine(length - 1 - n, fall) * Math.Sin(2 * Math.PI * cycles);
            samples[description.LeadInSamples + n] = Math.Min(Math.Round(value * StepsPerUnit), StepsPerUnit - 1) / StepsPerUnit;
        }
        return new(description, samples);
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
        var description = StimulusToml.Read(table);
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
        if (recording.ChannelCount != 1) throw new DataFault(wav, null, $"the stimulus has {recording.ChannelCount} channels; more than one is not supported yet", "Write it with one channel.");
        var length = description.LeadInSamples + description.SweepSamples + description.TailSamples;
        if (recording.Length != length)
            throw new DataFault(wav, null, $"the file has {recording.Length} samples, the description says {length} (lead-in, sweep and tail)", "Correct the description, or write both anew.");
        return new(description, recording.Channel(1));
    }

    /// <summary>Writes the WAV file (24 bits, one channel) and, beside it, the description with its SHA-256.</summary>
    /// <param name="descriptionPath">Where the TOML file goes. The WAV is named by the description, or like the TOML file where it names none.</param>
    /// <exception cref="DataFault">One of the two files exists already, or the disk refuses; then neither file is left behind.</exception>
    /// <remarks>Never overwrites: takes that were made with an older stimulus need it. Own convention; it needs no source.</remarks>
    public void Write(string descriptionPath)
    {
        ArgumentException.ThrowIfNullOrEmpty(descriptionPath);
        var file = Description.File ?? Path.GetFileNameWithoutExtension(descriptionPath) + ".wav";
        var wav = PathInside.Resolve(Path.GetDirectoryName(Path.GetFullPath(descriptionPath))!, file, descriptionPath, null);
        foreach (var path in new[] { descriptionPath, wav })
            if (File.Exists(path)) throw new DataFault(path, null, "this file exists already and is not overwritten", "Choose another name, or move the old file away first.");
        WavFile.Write(wav, Recording.Owning(SampleRateHz, [_samples]), WavEncoding.Integer24);
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

    private static double HalfCosine(double n, double length) => n < length ? 0.5 * (1 - Math.Cos(Math.PI * n / length)) : 1;

    private static string BesideInName(string shown, string file) => shown.LastIndexOf('/') is var slash && slash >= 0 ? shown[..(slash + 1)] + file : file;
}
