// SPDX-License-Identifier: MIT
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>What an exercise thinks of an answer.</summary>
public enum ReplyKind
{
    /// <summary>There is no answer yet; nothing stops.</summary>
    NotAnswered,

    /// <summary>The answer is right.</summary>
    Right,

    /// <summary>The number is right in another unit than the one asked for.</summary>
    OtherUnit,

    /// <summary>The number is right but for its sign.</summary>
    SignReversed,

    /// <summary>The number is what a usual mistake gives.</summary>
    UsualMistake,

    /// <summary>The number is none of these; the reply is a hint.</summary>
    NotYet,

    /// <summary>The data do not allow an answer, so none can be judged.</summary>
    CannotTell,
}

/// <summary>The reply to an answer, shown as a sentence that helps; it never gives the answer away.</summary>
/// <param name="Kind">What the exercise thinks of the answer.</param>
/// <param name="Sentence">The reply in one to three sentences.</param>
/// <remarks>The default says nothing. Misleads only where a wrong way happens to give the right number: that is called right. Own convention.</remarks>
public readonly record struct Reply(ReplyKind Kind, string Sentence)
{
    /// <summary>True where the answer is right.</summary>
    public bool IsRight => Kind == ReplyKind.Right;

    /// <summary>The first words of the reply, which say its kind without a colour.</summary>
    public string Lead => Kind switch
    {
        ReplyKind.Right => "Right.",
        ReplyKind.OtherUnit => "Right number, other unit.",
        ReplyKind.SignReversed => "Right number, other sign.",
        ReplyKind.UsualMistake => "A usual slip.",
        ReplyKind.NotYet => "Not yet.",
        ReplyKind.CannotTell => "These data cannot tell.",
        _ => "Your turn.",
    };

    /// <summary>The reply as a piece of a page: readable on a light and a dark page and on paper.</summary>
    /// <returns>One HTML paragraph; screen readers announce it when it changes.</returns>
    public string ToHtml() =>
        $"<p class=\"sweepbook-reply\" role=\"status\" data-reply=\"{Word}\" style=\"border-left:5px solid {Colour};padding:.45em .9em;margin:.4em 0;max-width:46rem\">"
        + $"<strong>{Lead}</strong> {Html(Sentence ?? "")}</p>";

    /// <summary>The reply as plain text.</summary>
    public override string ToString() => $"{Lead} {Sentence}".TrimEnd();

    private string Word => Kind switch
    {
        ReplyKind.Right => "right",
        ReplyKind.OtherUnit => "other-unit",
        ReplyKind.SignReversed => "sign-reversed",
        ReplyKind.UsualMistake => "usual-mistake",
        ReplyKind.NotYet => "not-yet",
        ReplyKind.CannotTell => "cannot-tell",
        _ => "not-answered",
    };

    /// <summary>Green for right, orange for something to mend, blue for nothing yet: three of the set that colour-blind readers can tell apart.</summary>
    private string Colour => Kind switch
    {
        ReplyKind.Right => Palette.Colour(2),
        ReplyKind.NotAnswered or ReplyKind.CannotTell => Palette.Colour(0),
        _ => Palette.Colour(1),
    };
}
