// SPDX-License-Identifier: MIT
using System.CommandLine;

namespace Sweepbook.Cli.Commands;

/// <summary>Calibrations of microphones: a new one from a comparison, and what changed between two.</summary>
internal sealed class CalibrationCommand : ExampledCommand
{
    public CalibrationCommand(Terminal terminal) : base(
        "calibration",
        "Makes a calibration file for a microphone that took the same place as a reference, or says by how much a microphone changed between two of its calibrations.",
        CalibrationNewCommand.Example, CalibrationCompareCommand.Example)
    {
        Add(new CalibrationNewCommand(terminal));
        Add(new CalibrationCompareCommand(terminal));
    }
}
