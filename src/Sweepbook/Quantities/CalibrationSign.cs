// SPDX-License-Identifier: MIT
namespace Sweepbook.Quantities;

/// <summary>What a calibration file states: the two conventions differ by the sign, and mixing them doubles the error.</summary>
public enum CalibrationSign
{
    /// <summary>What the microphone adds: +1.5 dB means it reads 1.5 dB too high; correcting subtracts. The default.</summary>
    Response,

    /// <summary>What has to be added to a reading: +1.5 dB means it reads 1.5 dB too low; correcting adds.</summary>
    Correction,
}
