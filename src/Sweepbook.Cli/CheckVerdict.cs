// SPDX-License-Identifier: MIT
namespace Sweepbook.Cli;

/// <summary>The last line of a check, from what was counted.</summary>
internal readonly record struct CheckVerdict
{
    /// <summary>Takes that the survey names or its pattern finds.</summary>
    public required int Takes { get; init; }

    /// <summary>Those that the survey does not set aside.</summary>
    public required int InUse { get; init; }

    /// <summary>Those in use that were left out or have a fault.</summary>
    public required int WithFaults { get; init; }

    /// <summary>Files among the takes that no pattern matched; one may be a take with a slip in its name.</summary>
    public required int UnrecognisedFiles { get; init; }

    /// <summary>Faults of the survey, those of its takes included.</summary>
    public required int Faults { get; init; }

    /// <summary>The verdict in a sentence.</summary>
    public string Sentence => Judgement + (UnrecognisedFiles == 0 ? "." : $"; {Counted.Of(UnrecognisedFiles, "file")} {(UnrecognisedFiles == 1 ? "was" : "were")} not recognised.");

    private string Judgement => this switch
    {
        { Takes: 0 } => "There are no takes yet. Record some into the folder that survey.toml names, then check again",
        { WithFaults: > 0 } => $"{WithFaults} of {Counted.Of(Takes, "take")} {(WithFaults == 1 ? "has" : "have")} faults; each is named on a line of its own",
        { Faults: > 0 } => "The takes are fit for use, but the survey has faults; each is named on a line of its own",
        { InUse: 0 } => "Every take is set aside in survey.toml, so there is nothing to use",
        { InUse: 1 } => "1 take is fit for use",
        { UnrecognisedFiles: > 0 } => $"{InUse} takes are fit for use",
        _ => $"All {InUse} takes are fit for use",
    };
}
