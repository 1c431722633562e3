// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text.RegularExpressions;
using Sweepbook.Report;

namespace Sweepbook.Notebook.Tests;

/// <summary>A number with its unit that the text of a notebook states.</summary>
/// <param name="Number">As it is written, its sign left out.</param>
/// <param name="Unit">As it is written.</param>
/// <param name="Sentence">The sentence it stands in.</param>
internal readonly record struct Claim(double Number, string Unit, string Sentence)
{
    /// <summary>True where the code holds the number, in this unit or in the unit that the code counts in.</summary>
    public bool IsIn(IReadOnlyList<double> literals)
    {
        var (number, unit) = (Number, Unit);
        return NotebookClaims.InCode(unit).Any(factor => literals.Any(literal => Math.Abs(literal - number * factor) <= 1e-9 * Math.Max(1, literal)));
    }
}

/// <summary>
/// The rule "no claim in prose without its check cell", as far as a machine can see it: a number with a unit that stands in a text behind the set-up must stand
/// again in a cell tagged <c>check</c>, in its condition or in the message that it throws (a comment checks nothing), between that text and the next heading.
/// </summary>
/// <remarks>
/// Left out, and nothing else: quoted blocks (they hold the cautions) and code in a text; questions; a sentence that names its source (a standard, the fact sheet, common
/// practice, a rule of thumb) or says how near an answer must come; a reference ("re 20 µPa"); text tagged <c>solution</c>, whose number the answer beside it has to give.
/// In an exercise the numbers that the exercise itself is called with count as checked, because its answer is computed from them. Numbers in words are for the author to check.
/// </remarks>
internal static partial class NotebookClaims
{
    private const string Number = @"\d+(?:,\d{3})*(?:\.\d+)?";

    /// <summary>Units with the factors that lead to the number in the code: 7 ms may stand there as 0.007.</summary>
    private static readonly Dictionary<string, double[]> Units = new()
    {
        ["kHz"] = [1, 1e3],
        ["Hz"] = [1],
        ["hertz"] = [1],
        ["kilohertz"] = [1, 1e3],
        ["m³"] = [1],
        ["mPa"] = [1, 1e-3],
        ["Pa"] = [1],
        ["pascals"] = [1],
        ["millisecond"] = [1, 1e-3],
        ["milliseconds"] = [1, 1e-3],
        ["minute"] = [1],
        ["hour"] = [1],
        ["hours"] = [1],
        ["metre"] = [1],
        ["centimetre"] = [1, 1e-2],
        ["centimetres"] = [1, 1e-2],
        ["millimetre"] = [1, 1e-3],
        ["millimetres"] = [1, 1e-3],
        ["percent"] = [1, 1e-2],
        ["times"] = [1],
        ["samples"] = [1],
        ["dB(A)"] = [1],
        ["dBFS"] = [1],
        ["dB²"] = [1],
        ["dB"] = [1],
        ["decibels"] = [1],
        ["decibel"] = [1],
        ["µs"] = [1, 1e-6],
        ["ms"] = [1, 1e-3],
        ["seconds"] = [1],
        ["second"] = [1],
        ["s"] = [1],
        ["minutes"] = [1],
        ["years"] = [1],
        ["cm²"] = [1, 1e-4],
        ["m²"] = [1],
        ["µPa"] = [1, 1e-6],
        ["cm"] = [1, 1e-2],
        ["mm"] = [1, 1e-3],
        ["metres"] = [1],
        ["m"] = [1],
        ["%"] = [1, 1e-2],
        ["per cent"] = [1, 1e-2],
        ["ppm"] = [1, 1e-6],
        ["millionths"] = [1, 1e-6],
        ["°C"] = [1],
        ["°"] = [1],
        ["degrees"] = [1],
        ["octaves"] = [1],
        ["octave"] = [1],
    };

    public static IEnumerable<string> Unchecked(IReadOnlyList<NotebookCell> cells)
    {
        var open = new List<Claim>();
        var isExercise = false;
        foreach (var cell in cells.SkipWhile(cell => !cell.Source.Contains("#load")).Skip(1))
        {
            if (cell.IsCode && (cell.Tags.Contains("check") || (isExercise && cell.Source.Contains("Exercise.")))) open.RemoveAll(claim => claim.IsIn(Literals(cell.Source)));
            if (!cell.IsMarkdown) continue;
            foreach (var part in Heading().Split(cell.Source))
            {
                var body = part;
                if (part.StartsWith('#'))
                {
                    foreach (var claim in open) yield return Complaint(claim);
                    open.Clear();
                    isExercise = part.Split('\n')[0].Contains("Exercise");
                    body = part.Contains('\n') ? part[part.IndexOf('\n')..] : "";
                }
                if (!cell.Tags.Contains("solution")) open.AddRange(Of(body));
            }
        }
        foreach (var claim in open) yield return Complaint(claim);
    }

    /// <summary>The claims of a text without its headings.</summary>
    public static IEnumerable<Claim> Of(string text)
    {
        var plain = Target().Replace(Code().Replace(Quote().Replace(text, ""), ""), "]").Replace("*", "");
        foreach (var sentence in plain.Split('\n').SelectMany(line => SentenceEnd().Split(line)).Where(sentence => !Excepted().IsMatch(sentence)))
            foreach (Match match in Numbers().Matches(sentence))
                foreach (Match number in SingleNumber().Matches(match.Groups[1].Value))
                    yield return new(double.Parse(number.Value.Replace(",", ""), CultureInfo.InvariantCulture), match.Groups[2].Value, sentence.Trim());
    }

    internal static double[] InCode(string unit) => Units[unit];

    private static double[] Literals(string code) =>
        [.. Literal().Matches(Comment().Replace(code, "")).Select(match => double.Parse(match.Value.Replace("_", ""), CultureInfo.InvariantCulture))];

    private static string Complaint(Claim claim) =>
        string.Create(CultureInfo.InvariantCulture, $"No check cell behind it holds {claim.Number} {claim.Unit}: {claim.Sentence}");

    [GeneratedRegex(@"(?=^#+ )", RegexOptions.Multiline)]
    private static partial Regex Heading();

    [GeneratedRegex(@"^>.*$", RegexOptions.Multiline)]
    private static partial Regex Quote();

    [GeneratedRegex(@"`[^`]*`")]
    private static partial Regex Code();

    [GeneratedRegex(@"//.*$", RegexOptions.Multiline)]
    private static partial Regex Comment();

    [GeneratedRegex(@"\]\([^)]*\)")]
    private static partial Regex Target();

    [GeneratedRegex(@"(?<=[.!?]\)?)\s+(?=[\p{Lu}\d""(−-])")]
    private static partial Regex SentenceEnd();

    [GeneratedRegex(@"\?\W*$|\bISO\b|\bIEC\b|\bNIOSH\b|\bGUM\b|fact sheet|common practice|[Rr]ule of thumb|within \d+ %(?=[,;.]| is fine| counts)")]
    private static partial Regex Excepted();

    [GeneratedRegex($@"(?<!\bre )(?<![\w.,/]|[\w.,/]-)((?:{Number})(?:(?:, | and | to | or | nor |–|-)[−-]?(?:{Number}))*)[\s-]?(kHz|kilohertz|Hz|hertz|dB\(A\)|dBFS|dB²|dB|decibels?|µs|ms|milliseconds?|seconds?|s|minutes?|hours?|years|cm²|m²|m³|µPa|mPa|Pa|pascals|centimetres?|millimetres?|cm|mm|metres?|m|%|per cent|percent|ppm|millionths|°C|°|degrees|octaves?|times|samples)(?![\w²³])")]
    private static partial Regex Numbers();

    [GeneratedRegex(Number)]
    private static partial Regex SingleNumber();

    [GeneratedRegex(@"(?<![\w.])\d[\d_]*(?:\.\d+)?(?:e-?\d+)?")]
    private static partial Regex Literal();
}
