// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text.RegularExpressions;

namespace Sweepbook.Files;

/// <summary>What a comma without blanks beside it means in a file.</summary>
internal enum CommaMeaning
{
    /// <summary>There is none that matters; those with blanks beside them separate columns.</summary>
    SeparatesColumns,

    /// <summary>It separates columns, because numbers have points.</summary>
    SeparatesColumnsBesidePoints,

    /// <summary>It separates two columns of whole numbers.</summary>
    SeparatesTwoColumns,

    /// <summary>It stands where others write a point.</summary>
    MarksDecimals,
}

/// <summary>One line on its way to a row or a note.</summary>
internal sealed partial class NumberLine
{
    private const string CommaRemedy = "Write numbers with a decimal point, or separate the columns with semicolons.";
    private const char Loose = '|';   // a comma with a blank beside it; a | of the file itself becomes ?, which is in no number
    private static readonly char[] _hardSeparators = [' ', ';'];
    private readonly string _text;

    /// <summary>Takes the line as it stands in the file.</summary>
    public NumberLine(int number, string text)
    {
        var plain = string.Join(' ', text.Replace('\u2212', '-').Split([' ', '\t', '\u00A0', '\uFEFF'], StringSplitOptions.RemoveEmptyEntries));
        var remark = plain.IndexOf(" #", StringComparison.Ordinal);
        if (remark > 0) plain = plain[..remark];
        _text = plain.TrimEnd(' ', ',', ';').Replace('|', '?')
            .Replace(" ;", ";", StringComparison.Ordinal).Replace("; ", ";", StringComparison.Ordinal)
            .Replace(" , ", "|", StringComparison.Ordinal).Replace(" ,", "|", StringComparison.Ordinal).Replace(", ", "|", StringComparison.Ordinal);
        (Number, IsEmpty) = (number, plain.Length == 0);
    }

    /// <summary>Line in the file, counted from 1.</summary>
    public int Number { get; }

    /// <summary>Nothing but blanks.</summary>
    public bool IsEmpty { get; }

    /// <summary>Some number has a decimal point.</summary>
    public bool HasPoint => _text.Contains('.');

    /// <summary>Some comma has no blank beside it.</summary>
    public bool HasTightComma => _text.Contains(',');

    /// <summary>Blanks, tabs or semicolons separate columns.</summary>
    public bool HasHardSeparator => _text.AsSpan().IndexOfAny(_hardSeparators) >= 0;

    private bool HasLooseComma => _text.Contains(Loose);

    /// <summary>True for a row, false for a note.</summary>
    /// <exception cref="DataFault">Neither: a number that is not finite, numbers in quotation marks, or a damaged number among the rows.</exception>
    public bool IsRow(bool afterRows, string file)
    {
        var words = _text.Split([.. _hardSeparators, ',', Loose], StringSplitOptions.RemoveEmptyEntries);
        if (words.Length == 0) return false;
        var first = words[0];
        if (PlainNumber().IsMatch(first)) return true;
        if (NotFinite().IsMatch(first) && (words.Length == 1 || IsNumberLike(words[1])))
            throw new DataFault(file, Number, $"\"{Shown(first)}\" is not a finite number", "Remove the row, or write the number that belongs there.");
        if (first[0] is '"' or '\'' && PlainNumber().IsMatch(first.Trim('"', '\'')))
            throw new DataFault(file, Number, "the numbers stand in quotation marks", "Remove the quotation marks.");
        if (afterRows && StartsLikeNumber().IsMatch(first))
            throw new DataFault(file, Number, $"\"{Shown(first)}\" is not a number", "Correct it, or begin the line with # if it is a remark.");
        return false;
    }

    /// <summary>The numbers of a row.</summary>
    /// <exception cref="DataFault">A word is no finite number, a column is empty, or a comma could mean two things.</exception>
    public double[] Values(CommaMeaning comma, string file)
    {
        var words = (HasTightComma ? WithoutCommas(comma, file) : _text).Split([.. _hardSeparators, Loose]);
        if (words.Contains("")) throw new DataFault(file, Number, "a column is empty", "Write the missing number, or remove the row.");
        var values = new double[words.Length];
        for (var k = 0; k < words.Length; k++)
            values[k] = PlainNumber().IsMatch(words[k]) && double.TryParse(words[k], NumberStyles.Float, CultureInfo.InvariantCulture, out var value) && double.IsFinite(value)
                ? value
                : throw new DataFault(file, Number, $"\"{Shown(words[k])}\" is not a {(IsNumberLike(words[k]) ? "finite " : "")}number",
                    "Correct it, or begin the line with # if it is a remark.");
        return values;
    }

    private string WithoutCommas(CommaMeaning comma, string file)
    {
        return comma switch
        {
            CommaMeaning.SeparatesColumnsBesidePoints when HasHardSeparator =>
                throw Ambiguous("commas stand beside other separators, so a comma could group thousands or separate columns"),
            CommaMeaning.SeparatesColumnsBesidePoints when ZeroAfterComma().IsMatch(_text) || (HasLooseComma && GroupedThousands().IsMatch(_text)) =>
                throw Ambiguous("a comma could group thousands or separate columns"),
            CommaMeaning.SeparatesTwoColumns when HasLooseComma || _text.Count(c => c == ',') > 1 =>
                throw Ambiguous("a comma could mark decimals or separate columns"),
            CommaMeaning.MarksDecimals when HasLooseComma || _text.Split(_hardSeparators).Any(word => word.Count(c => c == ',') > 1) =>
                throw Ambiguous("a comma could mark decimals or separate columns"),
            CommaMeaning.MarksDecimals => _text.Replace(',', '.'),
            _ => _text.Replace(',', Loose),
        };

        DataFault Ambiguous(string problem) => new(file, Number, problem, CommaRemedy);
    }

    private static bool IsNumberLike(string word) => PlainNumber().IsMatch(word) || NotFinite().IsMatch(word);

    private static string Shown(string word) =>
        new([.. (word.Length > 40 ? word[..40] + "…" : word).Select(c => char.IsControl(c) ? '?' : c)]);

    [GeneratedRegex(@"^[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]+)?\z", RegexOptions.CultureInvariant)]
    private static partial Regex PlainNumber();

    [GeneratedRegex(@"^[+-]?(nan(\(.*\))?|inf|infinity|∞|1\.#(inf|ind|qnan|snan)[0-9]*)\z", RegexOptions.CultureInvariant | RegexOptions.IgnoreCase)]
    private static partial Regex NotFinite();

    [GeneratedRegex(@"^[+-]?\.?[0-9]", RegexOptions.CultureInvariant)]
    private static partial Regex StartsLikeNumber();

    // "1,000.5": nobody begins a column with such zeros.
    [GeneratedRegex(@",0[0-9]{2}(?![0-9])", RegexOptions.CultureInvariant)]
    private static partial Regex ZeroAfterComma();

    // "1,250.5": up to three digits, then groups of three.
    [GeneratedRegex(@"(?<![0-9.])[1-9][0-9]{0,2}(,[0-9]{3})+(?![0-9])", RegexOptions.CultureInvariant)]
    private static partial Regex GroupedThousands();
}
