// SPDX-License-Identifier: MIT
namespace Sweepbook.Seats;

/// <summary>What is looked at before and after.</summary>
public enum ChangedQuantity
{
    /// <summary>Level in a third octave, in decibels.</summary>
    Level,

    /// <summary>Level in a third octave after both were matched over their common band, where an absolute level means nothing; in decibels.</summary>
    Shape,

    /// <summary>Spread over the seats: the root of the mean spatial variance, in decibels.</summary>
    Spread,

    /// <summary>Early decay time in an octave, in seconds.</summary>
    Edt,

    /// <summary>Decay time from −5 to −25 dB in an octave, in seconds.</summary>
    T20,

    /// <summary>How long one frequency of the bass lasts that stands out before, after or both: time for 60 dB, in seconds.</summary>
    SlowPeak,

    /// <summary>By how much one source is later than another at a seat, in milliseconds.</summary>
    Delay,
}

/// <summary>One figure before and after, with what of its change is explained by other things. A plain fact; the default is no comparison.</summary>
/// <remarks>
/// A change is significant where it is larger than repeatability and setting up the microphone again explain together, each as the half width of an interval that holds 95 %: their root of
/// summed squares (JCGM 100:2008, 5.1.2). Misleads where many figures are looked at: of a hundred that did not change, up to five may still be called significant by chance. Source: own definition.
/// </remarks>
public readonly record struct SeatChange
{
    /// <summary>An empty comparison.</summary>
    public SeatChange()
    {
    }

    /// <summary>What played: source ids joined by "+".</summary>
    public string Source { get; init; } = "";

    /// <summary>The seat; empty for takes close up or outdoors, and for a figure over all seats.</summary>
    public string Seat { get; init; } = "";

    /// <summary>The microphone.</summary>
    public string Microphone { get; init; } = "";

    /// <summary>What was compared.</summary>
    public ChangedQuantity Quantity { get; init; }

    /// <summary>The band or the frequency as a person says it: "63", the label of a third octave; "20 to 120"; "41.2". Of a delay: the source that it is compared with.</summary>
    public string Label { get; init; } = "";

    /// <summary>Lower end of the band in hertz; of a slow peak its frequency; NaN where nothing was compared.</summary>
    public double FromHz { get; init; } = double.NaN;

    /// <summary>Upper end of the band in hertz; of a slow peak its frequency; NaN where nothing was compared.</summary>
    public double ToHz { get; init; } = double.NaN;

    /// <summary>The figure before, in <see cref="Unit"/>; NaN where it is not known.</summary>
    public double Before { get; init; } = double.NaN;

    /// <summary>The figure after, in <see cref="Unit"/>; NaN where it is not known.</summary>
    public double After { get; init; } = double.NaN;

    /// <summary>dB, s or ms.</summary>
    public string Unit { get; init; } = "";

    /// <summary>± what noise and drift of the takes explain of the change, 95 %, in <see cref="Unit"/>; NaN where nothing is known about it.</summary>
    public double Repeatability { get; init; } = double.NaN;

    /// <summary>What the repeatability was found from, in words: "repeats", "noise only", "chance of the decay".</summary>
    public string Basis { get; init; } = "";

    /// <summary>± what a microphone put back within 5 cm, air 1 °C warmer or colder and a calibrator used again explain of the change, 95 %, in <see cref="Unit"/>; 0 where none of them matters.</summary>
    public double SettingUp { get; init; }

    /// <summary>What was taken off the figure after, in <see cref="Unit"/>: the match of two shapes, or by how much louder the sweep itself was played; else 0.</summary>
    public double TakenOff { get; init; }

    /// <summary>Why there is no comparison, or what to know about it; empty where all is plain.</summary>
    public string Reason { get; init; } = "";

    /// <summary>After less before, in <see cref="Unit"/>.</summary>
    public double Difference => After - Before;

    /// <summary>± what is explained by other things altogether, 95 %, in <see cref="Unit"/>.</summary>
    public double Limit => Math.Sqrt(Repeatability * Repeatability + SettingUp * SettingUp);

    /// <summary>True where there is a figure before and after.</summary>
    public bool IsCompared => Unit is { Length: > 0 } && double.IsFinite(Difference);

    /// <summary>True where the change is larger than all that is known to explain it, and large enough to speak of.</summary>
    public bool IsSignificant => IsCompared && Math.Abs(Difference) > Limit && Math.Abs(Difference) >= Smallest;

    /// <summary>Changes below this are not spoken of: 0.1 dB as for microphones, 0.01 s and 0.01 ms. Own choice.</summary>
    private double Smallest => Unit == "dB" ? 0.1 : 0.01;
}
