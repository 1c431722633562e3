// SPDX-License-Identifier: MIT
namespace Sweepbook.Files;

/// <summary>How a sample stands in a WAV file. Integers are signed, full scale is 2^(bits − 1).</summary>
public enum WavEncoding
{
    /// <summary>16-bit integer.</summary>
    Integer16,

    /// <summary>24-bit integer in three bytes: the usual choice for takes and stimuli.</summary>
    Integer24,

    /// <summary>32-bit integer.</summary>
    Integer32,

    /// <summary>32-bit IEEE 754 float: the usual choice for impulse responses.</summary>
    Float32,

    /// <summary>64-bit IEEE 754 float: exact.</summary>
    Float64,
}
