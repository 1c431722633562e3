// SPDX-License-Identifier: MIT
using Sweepbook.Spectra;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>What responses must share so that their seats may be compared: source, setting, microphone, stimulus, level reference, drive and gain.</summary>
internal readonly record struct SeatGroup(
    string Source, string Setting, string Microphone, string? Stimulus, LevelReference Reference, double? DriveDb, double? InputGainDb)
{
    /// <summary>The group of a take, or null for one that is not of a seat in the room.</summary>
    internal static SeatGroup? Of(Take take) => take.Field == SoundField.Room
        ? new(take.SourceName, take.Setting, take.Microphone, take.Stimulus, ReferenceOf(take), take.DriveDb, take.InputGainDb)
        : null;

    internal static LevelReference ReferenceOf(Take take) =>
        take.IsImpulse ? LevelReference.Recording : take.TimeZero == TimeZero.Loopback ? LevelReference.Loopback : LevelReference.Stimulus;
}
