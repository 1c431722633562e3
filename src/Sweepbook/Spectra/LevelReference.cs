// SPDX-License-Identifier: MIT
namespace Sweepbook.Spectra;

/// <summary>What 0 dB means. Levels of different references differ by the gain of the loopback or of the whole chain: they are never compared or averaged.</summary>
public enum LevelReference
{
    /// <summary>The microphone's signal over the loopback's: the output level of the interface cancels.</summary>
    Loopback,

    /// <summary>The microphone's signal over the samples of the stimulus file.</summary>
    Stimulus,

    /// <summary>The samples of a recorded impulse response as they are, full scale 1.</summary>
    Recording,

    /// <summary>
    /// 20 µPa: the sound pressure level that the sweep made at each frequency as it was played, from the sensitivity of the microphone at the take's input gain. How well the
    /// calibrator is known, some tenths of a decibel, is in the expanded uncertainty of each level and cancels in their differences, because it moves all of them alike.
    /// </summary>
    SoundPressure,
}
