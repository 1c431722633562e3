// SPDX-License-Identifier: MIT
using Sweepbook.Decay;
using Sweepbook.Surveys;

namespace Sweepbook.Studies;

/// <summary>The decays of one response in the room, or their mean over the seats of one source.</summary>
/// <remarks>
/// Every band that was excited at least in part is here; one that was not excited throughout, or whose recording is damaged, has its reason and no figures.
/// Near-field and free-field takes have none: theirs is not the room's decay. Source: see <see cref="ImpulseDecays"/>.
/// </remarks>
public sealed class DecayResult
{
    /// <summary>The seat of a row that is the arithmetic mean of the figures at all seats. An id holds no bracket, so no seat is called so.</summary>
    public const string MeanSeat = "(mean)";

    /// <summary>The seat of a row that was read from the sum of all seats' energies.</summary>
    public const string EnsembleSeat = "(ensemble)";

    internal DecayResult(Take take, string seat, int places, BandDecays octaves, BandDecays thirdOctaves) =>
        (Take, Seat, Places, Octaves, ThirdOctaves) = (take, seat, places, octaves, thirdOctaves);

    /// <summary>What played: source ids joined by "+".</summary>
    public string Source => Take.SourceName;

    /// <summary>The setting.</summary>
    public string Setting => Take.Setting;

    /// <summary>The seat, or <see cref="MeanSeat"/> or <see cref="EnsembleSeat"/>.</summary>
    public string Seat { get; }

    /// <summary>The microphone.</summary>
    public string Microphone => Take.Microphone;

    /// <summary>How many responses went into it.</summary>
    public int Places { get; }

    /// <summary>True for a mean over seats, made either way.</summary>
    public bool IsMean => Seat is MeanSeat or EnsembleSeat;

    /// <summary>Octaves from 31.5 Hz to 8 kHz.</summary>
    public BandDecays Octaves { get; }

    /// <summary>Third octaves from 25 Hz to 10 kHz.</summary>
    public BandDecays ThirdOctaves { get; }

    /// <summary>The first take behind it: its circumstances are those of all.</summary>
    internal Take Take { get; }
}
