// SPDX-License-Identifier: MIT
namespace Sweepbook.Notebook;

/// <summary>A question with one number as its answer, which it computes from the data at hand and compares with what a student gives.</summary>
/// <remarks>
/// A reply helps: it tells the right number in another unit, a reversed sign, and the numbers that the usual mistakes of this exercise give, from
/// everything else, and never gives the answer away. Each exercise judges by a tolerance that its summary states; reading a value off a figure is
/// good enough where it says so. Own convention.
/// </remarks>
public sealed partial class Exercise
{
    private readonly double _wanted;
    private readonly AnswerUnit _unit;
    private readonly double _tolerance;
    private readonly IReadOnlyList<Mistake> _mistakes;

    /// <param name="quantity">What is asked for, without unit, for the start of a sentence: "The Schroeder frequency".</param>
    /// <param name="wanted">The answer in the unit; NaN where the data give none.</param>
    /// <param name="unit">The unit.</param>
    /// <param name="tolerance">How far an answer may be off: a share of the value, for a level decibels.</param>
    /// <param name="hint">What to think of next, without the answer.</param>
    /// <param name="meaning">What a right answer means, said as its reward.</param>
    /// <param name="mistakes">The usual ways to go wrong.</param>
    internal Exercise(string quantity, double wanted, AnswerUnit unit, double tolerance, string hint, string meaning, params IReadOnlyList<Mistake> mistakes)
    {
        (Quantity, Hint, Meaning) = (quantity, hint, meaning);
        (_wanted, _unit, _tolerance) = (wanted, unit, tolerance);
        _mistakes = [.. mistakes.Where(mistake => !Near(mistake.Gives, wanted))];   // with some data a wrong way gives the right number
    }

    /// <summary>What is asked for, without its unit.</summary>
    public string Quantity { get; }

    /// <summary>The unit the answer is wanted in, in words.</summary>
    public string Unit => _unit.InWords;

    /// <summary>What to think of next; it does not give the answer away.</summary>
    public string Hint { get; }

    internal string Meaning { get; }

    internal IReadOnlyList<Mistake> Mistakes => _mistakes;

    internal double Wanted => _wanted;

    /// <summary>Replies to an answer. A missing or wrong one stops nothing: it is what exercises are for.</summary>
    /// <param name="answer">The number given, in <see cref="Unit"/>.</param>
    /// <returns>The reply; as the last value of a cell it shows itself.</returns>
    public Reply Check(Answer answer)
    {
        if (!double.IsFinite(_wanted)) return new(ReplyKind.CannotTell, $"{Quantity} does not follow from them: take another survey or another band.");
        if (!answer.IsGiven) return new(ReplyKind.NotAnswered, $"Put your number, in {Unit}, in place of double.NaN and run both cells again.");
        if (IsRight(answer.Number)) return new(ReplyKind.Right, Meaning);
        foreach (var (inWords, back) in _unit.Others)
            if (IsRight(back(answer.Number))) return new(ReplyKind.OtherUnit, $"It is the answer {inWords}; this one is wanted in {Unit}.");
        if (IsRight(-answer.Number)) return new(ReplyKind.SignReversed, $"{Quantity} has the opposite sign. Look where a minus came in or got lost.");
        var made = _mistakes.Where(mistake => IsNear(answer.Number, mistake)).OrderBy(mistake => Math.Abs(answer.Number - mistake.Gives)).FirstOrDefault();
        if (made.Sentence is { } sentence) return new(ReplyKind.UsualMistake, sentence);
        foreach (var (inWords, back) in _unit.Others)
            foreach (var mistake in _mistakes)
                if (Near(back(answer.Number), mistake.Gives)) return new(ReplyKind.UsualMistake, $"Read {inWords}: {mistake.Sentence} And the answer is wanted in {Unit}.");
        return AnySlip(answer.Number) ?? new(ReplyKind.NotYet, Hint);
    }

    /// <summary>Replies to an answer that has to be right, as the solutions do.</summary>
    /// <param name="answer">The number given, in <see cref="Unit"/>.</param>
    /// <returns>The reply, which says that the answer is right.</returns>
    /// <exception cref="InvalidOperationException">The answer is missing or wrong; the message is the reply. In a notebook this stops the run.</exception>
    public Reply Require(Answer answer)
    {
        var reply = Check(answer);
        return reply.IsRight ? reply : throw new InvalidOperationException($"{Quantity}: the answer was {answer}. {reply}");
    }

    /// <summary>What is asked for and in which unit.</summary>
    public override string ToString() => $"{Quantity}, in {Unit}";

    private bool IsRight(double number) => Near(number, _wanted);

    /// <summary>A mistake is recognised as sharply as the answer itself; what comes out as no level at all, a variance for instance, within a share of it.</summary>
    private bool IsNear(double number, Mistake mistake) => Near(number, mistake.Gives) || Math.Abs(number - mistake.Gives) <= CalculatedShare * Math.Abs(mistake.Gives);

    private bool Near(double number, double target) => Math.Abs(number - target) <= (_unit.IsLevel ? _tolerance : _tolerance * Math.Abs(target));
}

/// <summary>A usual way to go wrong: what it gives, and the sentence that helps out of it.</summary>
/// <param name="Gives">The number it gives, in the unit of the exercise.</param>
/// <param name="Sentence">What was done, and what it should have been, without the answer.</param>
internal readonly record struct Mistake(double Gives, string Sentence);
