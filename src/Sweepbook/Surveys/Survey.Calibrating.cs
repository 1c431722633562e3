// SPDX-License-Identifier: MIT
namespace Sweepbook.Surveys;

/// <content>A calibration on trial, before anybody writes it into survey.toml.</content>
public sealed partial class Survey
{
    /// <summary>The same survey with another calibration of one microphone, in place of all that it states: <c>survey.Calibrating("pocket", "pocket.txt", 0.3)</c>.</summary>
    /// <param name="microphone">Id of the microphone.</param>
    /// <param name="path">The calibration file, absolute or from the working folder; it states what the microphone adds.</param>
    /// <param name="uncertaintyDb">Its expanded uncertainty, ± decibels with coverage factor 2, above zero; null where nobody states one.</param>
    /// <param name="calibratedOn">Its day, or null.</param>
    /// <exception cref="ArgumentException">The survey has no such microphone, or the path is empty.</exception>
    /// <exception cref="ArgumentOutOfRangeException">The uncertainty is not above zero and finite.</exception>
    /// <remarks>The file is read when the survey is analysed, and faults in it are told then. Misleads where the file states a correction: every error is then doubled. Own convention; it needs no source.</remarks>
    public Survey Calibrating(string microphone, string path, double? uncertaintyDb = null, DateOnly? calibratedOn = null)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(path);
        if (uncertaintyDb is { } uncertainty && !(uncertainty > 0 && double.IsFinite(uncertainty)))
            throw new ArgumentOutOfRangeException(nameof(uncertaintyDb), uncertainty, "Must be in (0, ∞) dB.");
        var changed = Microphone(microphone);
        var file = new CalibrationFile { File = System.IO.Path.GetFileName(path), Path = System.IO.Path.GetFullPath(path) };
        return With(Takes, WantedFromHz, WantedToHz, WantedWithinDb, [.. Microphones.Select(item => item == changed ? Changed(item) : item)]);

        Microphone Changed(Microphone item) => new()
        {
            Id = item.Id,
            Calibrations = [file],
            CalibrationSign = Quantities.CalibrationSign.Response,
            LowestHz = item.LowestHz,
            HighestHz = item.HighestHz,
            ToleranceDb = item.ToleranceDb,
            MaxSplDb = item.MaxSplDb,
            CalibratedOn = calibratedOn,
            CalibrationUncertaintyDb = uncertaintyDb,
            SensitivityDbfsAt94Db = item.SensitivityDbfsAt94Db,
            InputGainDb = item.InputGainDb,
            NoiseDba = item.NoiseDba,
            IsReference = item.IsReference,
            Line = item.Line,
        };
    }
}
