// SPDX-License-Identifier: MIT
using System.Buffers.Binary;
using Sweepbook.Quantities;

namespace Sweepbook.Simulation;

/// <summary>What goes wrong in an evening of measuring, done to a good take on purpose.</summary>
internal static class Damage
{
    private const int RateOffset = 24, LengthOffset = 40, HeaderBytes = 44;   // of a plain integer WAV with two channels

    /// <summary>Damage to the samples, before they become a file.</summary>
    public static void ToSamples(PlannedDamage damage, ref double[] microphone, ref double[] loopback, int sampleRateHz)
    {
        switch (damage.Kind)
        {
            case DamageKind.Clipped:
                var gain = Decibels.ToAmplitudeRatio(damage.Amount) / microphone.Max(Math.Abs);
                for (var n = 0; n < microphone.Length; n++) microphone[n] *= gain;   // what exceeds full scale is cut when the file is written
                break;
            case DamageKind.LostSamples:
                var lost = (int)Math.Round(damage.Amount / 1000 * sampleRateHz);
                (microphone, loopback) = (Without(microphone, lost), Without(loopback, lost));
                break;
            default:
                ChannelDamage.ToSamples(damage, ref microphone, ref loopback, sampleRateHz);
                break;
        }
    }

    /// <summary>Damage to the finished file.</summary>
    public static void ToFile(PlannedDamage damage, string path)
    {
        if (damage.Kind is not (DamageKind.WrongRate or DamageKind.CutShort or DamageKind.LengthZero)) return;
        using var file = new FileStream(path, FileMode.Open, FileAccess.ReadWrite);
        var header = new byte[HeaderBytes];
        file.ReadExactly(header);
        if (!header.AsSpan(36, 4).SequenceEqual("data"u8)) throw new InvalidOperationException($"{Path.GetFileName(path)} does not have the plain header of {HeaderBytes} bytes.");
        switch (damage.Kind)
        {
            case DamageKind.WrongRate:
                var (rate, frameBytes) = ((int)damage.Amount, BinaryPrimitives.ReadUInt16LittleEndian(header.AsSpan(32)));
                BinaryPrimitives.WriteInt32LittleEndian(header.AsSpan(RateOffset), rate);
                BinaryPrimitives.WriteInt32LittleEndian(header.AsSpan(RateOffset + 4), rate * frameBytes);
                break;
            case DamageKind.LengthZero:
                BinaryPrimitives.WriteInt32LittleEndian(header.AsSpan(LengthOffset), 0);
                break;
            case DamageKind.CutShort:
                file.SetLength(HeaderBytes + (long)(damage.Amount * (file.Length - HeaderBytes)));
                break;
        }
        file.Position = 0;
        file.Write(header);
    }

    private static double[] Without(double[] samples, int lost)
    {
        var kept = new double[samples.Length];   // the recorder kept its length, so the end fills up with silence
        var half = samples.Length / 2;
        samples.AsSpan(0, half).CopyTo(kept);
        samples.AsSpan(half + lost).CopyTo(kept.AsSpan(half));
        return kept;
    }
}
