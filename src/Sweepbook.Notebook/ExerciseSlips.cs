// SPDX-License-Identifier: MIT
namespace Sweepbook.Notebook;

public sealed partial class Exercise
{
    private const int MostPowersOfTen = 9;   // pascals for micropascals, twice over, and some more
    private const double AmplitudeDb = 6.0206, PowerDb = 3.0103;   // a factor of two

    /// <summary>The slips that may happen in any exercise, after those of its own: a reply that helps, or null.</summary>
    /// <remarks>None says in which direction the answer lies. Whole numbers that divide to nothing are a slip of the language. Own convention.</remarks>
    private Reply? AnySlip(double number)
    {
        if (!double.IsFinite(number)) return new(ReplyKind.NotYet, "That is not a finite number: somewhere it was divided by zero, or the logarithm of zero was taken.");
        if (number == 0)
            return new(ReplyKind.NotYet, $"That is zero. If it was calculated in the cell: whole numbers divide to whole numbers there, and 1/2 is 0. Write 1.0/2. Otherwise: {Hint}");
        if (_unit.IsLevel)
        {
            if (Near(Math.Abs(number), Math.Abs(2 * _wanted)) || Near(Math.Abs(number), Math.Abs(_wanted / 2)))
                return Slip("A factor of two went astray, as it does where 10 lg and 20 lg are taken for each other: 20 lg is for pressures, 10 lg for powers.");
            if (Near(Math.Abs(number), Math.Abs(_wanted * Math.Log(10))))
                return Slip("The natural logarithm was taken. Decibels go by the decimal one, Math.Log10.");
            foreach (var (off, words) in new[] { (AmplitudeDb, "6 dB, a factor of two in a pressure"), (PowerDb, "3 dB, a factor of two in a power") })
                if (IsRight(number - off) || IsRight(number + off)) return Slip($"It is off by {words}: a radius for a diameter, one way for there and back, or a two that was left out.");
            return null;
        }
        if (IsRight(number / 2) || IsRight(number * 2) || IsRight(-number / 2) || IsRight(-number * 2))
            return Slip($"A factor of two went astray: half a period or a whole one, a radius or a diameter, one way or there and back. {Hint}");
        for (var power = 1; power <= MostPowersOfTen; power++)
            if (IsRight(number * Math.Pow(10, power)) || IsRight(number / Math.Pow(10, power)))
                return Slip("The digits are right, the decimal point is not. A unit inside went astray: milliseconds, centimetres or kilohertz have to become seconds, metres or hertz before they go into the formula.");
        return null;
    }

    private static Reply Slip(string sentence) => new(ReplyKind.UsualMistake, sentence);
}
