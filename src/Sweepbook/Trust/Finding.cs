// SPDX-License-Identifier: MIT
namespace Sweepbook.Trust;

/// <summary>How much a finding matters.</summary>
public enum Severity
{
    /// <summary>Good to know.</summary>
    Note,

    /// <summary>Believe with care.</summary>
    Caution,

    /// <summary>Something is wrong and has a remedy.</summary>
    Fault,
}

/// <summary>One thing the analysis has to say, as a sentence that a consultant would sign, with the number behind it.</summary>
/// <param name="Id">Stable, lower case with hyphens, for example <c>trusted-band</c>.</param>
/// <param name="Severity">How much it matters.</param>
/// <param name="Subject">What it is about: a take file, a source and seat, or <c>survey</c>.</param>
/// <param name="Value">The number behind it, or NaN where there is none.</param>
/// <param name="Unit">Unit of the value; empty where there is none.</param>
/// <param name="Sentence">The sentence, complete with number, unit and remedy.</param>
public readonly record struct Finding(string Id, Severity Severity, string Subject, double Value, string Unit, string Sentence);
