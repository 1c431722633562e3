// SPDX-License-Identifier: MIT
using Sweepbook.Files;

namespace Sweepbook.Stimuli;

/// <summary>What a stimulus is, in words and numbers: the TOML file beside its WAV.</summary>
/// <remarks>
/// Outputs by name: <c>device_outputs = { left = 1, loop = 2 }</c> gives each output of the interface a name and its channel, counted from 1;
/// <c>loopback_output</c> and <c>marker_output</c> pick two of the names. The sweep is played by every output except the marker's,
/// the loopback's included. <c>repeats</c> counts how often sweep and tail are played one after the other.
/// Two descriptions are equal when the TOML text they write is equal.
/// Own convention (design, stimulus description); it needs no source.
/// </remarks>
public sealed record StimulusDescription
{
    /// <summary>The WAV file, relative to the description's folder; null before it is written.</summary>
    public string? File { get; init; }

    /// <summary>SHA-256 of the WAV file, 64 lower-case hexadecimal digits; null before it is written.</summary>
    public string? Sha256 { get; init; }

    /// <summary>How the frequency moves.</summary>
    public SweepKind Kind { get; init; } = SweepKind.Exponential;

    /// <summary>Samples per second, from 1 000 to 768 000.</summary>
    public int SampleRateHz { get; init; } = 48_000;

    /// <summary>First frequency in hertz, above zero.</summary>
    public double StartHz { get; init; } = 10;

    /// <summary>Last frequency in hertz, above the first and at most 0.49 of the sample rate.</summary>
    public double EndHz { get; init; } = 22_000;

    /// <summary>Length of the sweep in seconds, from 0.05 to 300, both fades included.</summary>
    /// <remarks>
    /// A synchronised sweep lasts L · ln(f₂ / f₁) with f₁ · L a whole number: asked for 10 to 200 Hz in 15 s, <see cref="Stimulus.From"/> makes 14.978661 s and
    /// its description says so. Source: A. Novak et al., IEEE Trans. Instrum. Meas. 59 (2010) 2220–2229.
    /// </remarks>
    public double SweepSeconds { get; init; } = 10;

    /// <summary>Silence before the sweep in seconds, from 0 to 60: the noise is measured there.</summary>
    public double LeadInSeconds { get; init; } = 1;

    /// <summary>Silence after the sweep in seconds, from 0 to 60: the room decays there.</summary>
    public double TailSeconds { get; init; } = 2;

    /// <summary>Peak level in dBFS, from −100 to 0, where 0 dBFS is a sample value of 1.</summary>
    public double LevelDbfs { get; init; } = -12;

    /// <summary>Raised-cosine fade at the start of the sweep, inside it, in seconds.</summary>
    public double FadeInSeconds { get; init; } = 0.1;

    /// <summary>Raised-cosine fade at the end of the sweep, inside it, in seconds.</summary>
    public double FadeOutSeconds { get; init; } = 0.01;

    /// <summary>How often sweep and tail follow each other in the file, from 1 to 100. More than once is not supported yet: record several takes instead.</summary>
    public int Repeats { get; init; } = 1;

    /// <summary>Outputs of the interface by name, with their channels counted from 1; empty where nothing is said.</summary>
    public IReadOnlyDictionary<string, int> DeviceOutputs { get; init; } = new Dictionary<string, int>();

    /// <summary>Name of the output that is wired back into an input, or null.</summary>
    public string? LoopbackOutput { get; init; }

    /// <summary>Name of the output that plays the marker, or null.</summary>
    public string? MarkerOutput { get; init; }

    /// <summary>The marker, or null.</summary>
    public MarkerDescription? Marker { get; init; }

    /// <summary>Samples of silence before the sweep.</summary>
    public int LeadInSamples => ToSamples(LeadInSeconds);

    /// <summary>Samples of the sweep, both fades included.</summary>
    public int SweepSamples => ToSamples(SweepSeconds);

    /// <summary>Samples of silence after the sweep.</summary>
    public int TailSamples => ToSamples(TailSeconds);

    /// <summary>Reads a description file.</summary>
    /// <param name="path">The TOML file.</param>
    /// <param name="shownAs">How faults name it; the path itself where null.</param>
    /// <exception cref="DataFault">Not readable, an unknown key, or a value that does not fit; with its line.</exception>
    /// <remarks>The WAV is not looked at: see <see cref="Stimulus.Read(string, string?)"/>. Own convention; it needs no source.</remarks>
    public static StimulusDescription Read(string path, string? shownAs = null) => StimulusToml.Read(TomlDocument.Read(path, shownAs ?? path));

    /// <summary>The same with a timing marker in its usual place, for a microphone without a second input.</summary>
    /// <returns>
    /// The marker, 0.4 s from 2 kHz to 12 kHz (or to 0.45 of the sample rate, and from a sixth of that), 0.5 s after the start; the sweep 1.9 s after the start
    /// or later, so that 0.6 s in between are silent once the marker has decayed; the marker again when the tail is over, and 0.6 s more. The outputs
    /// become sweep = 1 and marker = 2 where none are named.
    /// </returns>
    /// <remarks>
    /// Play it through a second, full-range loudspeaker that stays where it is: a subwoofer cannot play it. Misleads in a hall whose treble rings for seconds: the
    /// silence then holds what is left of the marker; lengthen the lead-in first. Own choice of times; it needs no source.
    /// </remarks>
    public StimulusDescription WithMarker()
    {
        const double Start = 0.5, Length = 0.4, Decay = 0.4, Silent = 0.6, HighestHz = 12_000, PartOfRate = 0.45, Span = 6, Step = 0.01;
        var (leadIn, end) = (Math.Max(LeadInSeconds, Start + Length + Decay + Silent), Math.Min(HighestHz, PartOfRate * SampleRateHz));
        var whole = StimulusRules.Completed(this);
        var again = Math.Round(Math.Ceiling((leadIn + whole.SweepSeconds + TailSeconds) / Step) * Step, 2);
        return StimulusRules.Completed(this with
        {
            LeadInSeconds = leadIn,
            TailSeconds = Math.Round(again + Length + Silent - leadIn - whole.SweepSeconds, 6),
            Marker = new(Start, Length, end / Span, end, again),
        });
    }

    /// <summary>The description as TOML text, UTF-8 lines ended by LF, every number written so that it reads back equal.</summary>
    public string ToToml() => StimulusToml.Write(this);

    /// <inheritdoc/>
    public bool Equals(StimulusDescription? other) => other is not null && ToToml() == other.ToToml();

    /// <inheritdoc/>
    public override int GetHashCode() => ToToml().GetHashCode(StringComparison.Ordinal);

    /// <summary>How the sweep's phase moves.</summary>
    internal SweepLaw Law => new(Kind, StartHz, EndHz, SweepSeconds);

    internal int ToSamples(double seconds) => (int)Math.Round(seconds * SampleRateHz, MidpointRounding.AwayFromZero);
}
