// SPDX-License-Identifier: MIT
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <content>Boxes measured close up.</content>
public sealed partial class Study
{
    private readonly Lock _boxLock = new();
    private IReadOnlyList<BoxResult>? _boxes;

    /// <summary>Boxes with takes close to their cones and ports, in the order of the survey's sources; one for each setting, microphone, stimulus, drive and input gain.</summary>
    /// <remarks>Empty where no source says <c>part_of</c> or nothing was taken close up. Source: beside <see cref="BoxResult"/>.</remarks>
    public IReadOnlyList<BoxResult> Boxes
    {
        get
        {
            lock (_boxLock) return _boxes ??= BoxStudy.Of(this);
        }
    }

    /// <summary>A box measured close up.</summary>
    /// <param name="id">Its name, as <c>part_of</c> of its cones and ports has it.</param>
    /// <param name="setting">Id of the setting; without it the first one whose cones and ports may be added, or else the first.</param>
    /// <returns>The first such box.</returns>
    /// <exception cref="ArgumentException">There is none; the message says which there are.</exception>
    /// <remarks>A lookup and no computation: nothing here can mislead, and it needs no source.</remarks>
    public BoxResult Box(string id, string? setting = null)
    {
        var matching = Boxes.Where(box => box.Id == id && (setting is null || box.Setting == setting)).ToList();
        if (matching.Count > 0) return matching.Find(box => box.WhyNoSum is null) ?? matching[0];
        var named = setting is null ? "" : $" in the setting \"{setting}\"";
        throw new ArgumentException(Boxes.Count == 0
            ? "The study has no box: name it with part_of in the [[source]] of its cones and ports, and take them with field = \"near\"."
            : $"The study has no box \"{id}\"{named} that was measured close up; it has: {string.Join(", ", Boxes.Select(box => setting is null ? box.Id : $"{box.Id} in the setting {box.Setting}").Distinct())}.", nameof(id));
    }

    /// <summary>True where boxes were taken close up and no take heard the room: sentences about seats and modes would then be about nothing.</summary>
    internal bool HeardNoRoom => Boxes.Count > 0 && Responses.All(result => result.Takes[0].Field != SoundField.Room);
}
