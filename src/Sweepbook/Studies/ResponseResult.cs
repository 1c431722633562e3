// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Spectra;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>One response of the survey: all repeats of one source, setting, seat and microphone brought together.</summary>
/// <remarks>Repeats are averaged after alignment (see <see cref="RepeatMean"/>). Source: own definition.</remarks>
public sealed partial class ResponseResult
{
    internal ResponseResult(IReadOnlyList<Take> takes, ImpulseResponse uncut, ImpulseResponse impulseResponse, Response response, ImpulseWindow window)
    {
        (Takes, UncutImpulseResponse, ImpulseResponse, Response, Window) = (takes, uncut, impulseResponse, response, window);
        (LevelBand, PhaseBand) = (response.LevelTrust.LongestBand(), response.PhaseTrust.LongestBand());
    }

    /// <summary>The takes it was made from, in the survey's order.</summary>
    public IReadOnlyList<Take> Takes { get; }

    /// <summary>What played: source ids joined by "+".</summary>
    public string Source => Takes[0].SourceName;

    /// <summary>The setting.</summary>
    public string Setting => Takes[0].Setting;

    /// <summary>The seat.</summary>
    public string Seat => Takes[0].Seat;

    /// <summary>The microphone.</summary>
    public string Microphone => Takes[0].Microphone;

    /// <summary>Number of repeats averaged.</summary>
    public int Repeats => Takes.Count;

    /// <summary>The impulse response before the window cut it, with the noise behind its tail: for decays. It ends where the recording of the highest frequencies does.</summary>
    public ImpulseResponse UncutImpulseResponse { get; }

    /// <summary>The windowed impulse response behind it.</summary>
    public ImpulseResponse ImpulseResponse { get; }

    /// <summary>The window it was cut with.</summary>
    public ImpulseWindow Window { get; }

    /// <summary>The response, calibration subtracted, with its masks.</summary>
    public Response Response { get; }

    /// <summary>The longest stretch in which its level may be believed.</summary>
    public TrustedBand LevelBand { get; }

    /// <summary>The longest stretch in which its phase may be believed.</summary>
    public TrustedBand PhaseBand { get; }
}
