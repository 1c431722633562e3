// SPDX-License-Identifier: MIT
using System.Collections;
using System.Globalization;
using System.Numerics;
using System.Reflection;
using System.Text.RegularExpressions;
using Sweepbook.Decay;
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Notebook;

/// <summary>The facts of a value: its properties in words, each number with the unit that the property's name ends in.</summary>
internal static partial class ShownFacts
{
    private const int MostWords = 6;
    private const double LeastSeconds = 1e-9;   // sound goes a third of a micrometre: nobody's arrival is known so well
    private const string LeastInWords = "under 0.000000001";
    private const int Digits = 4;

    /// <summary>Ends of names and their units, longer ends first where one ends in another.</summary>
    private static readonly (string End, string Unit)[] Units =
    [
        ("DbPerOctave", "dB per octave"), ("MetresPerSecond", "m/s"), ("SquareMetres", "m²"), ("CubicMetres", "m³"), ("At94Db", "at 94 dB, dBFS"), ("Dbfs", "dBFS"), ("Dba", "dB(A)"), ("Db2", "dB²"), ("Db", "dB"),
        ("Hz", "Hz"), ("Seconds", "s"), ("Ms", "ms"), ("Mm", "mm"), ("Cm2", "cm²"), ("Metres", "m"), ("Samples", "samples"), ("Degrees", "°"), ("Deg", "°"), ("Radians", "rad"), ("Ppm", "ppm"), ("Percent", "%"),
        ("Permille", "‰"), ("Celsius", "°C"), ("Octaves", "octaves"), ("Ppo", "per octave"), ("Ratio", ""),
    ];

    private static readonly HashSet<string> Left = ["Path", "Line", "RepeatKey", "EqualityContract", "Sha256", "ThirdOctaves", "IsMean"];   // of use to programs, not to readers, or said by another column

    /// <summary>Words for types that are one thing in the end.</summary>
    private static readonly Dictionary<Type, Func<object, string>> Brief = new()
    {
        [typeof(TrustedBand)] = value => ((TrustedBand)value) is { IsEmpty: false } band ? band.Words : "nowhere",
        [typeof(Reason)] = value => ((Reason)value).Sentence ?? "",
        [typeof(FrequencyBand)] = value => $"{((FrequencyBand)value).Label} Hz",
        [typeof(Finding)] = value => ((Finding)value).Sentence,
        [typeof(DecayValue)] = value => $"{value}",
        [typeof(BandDecays)] = value => DecayTimes((BandDecays)value),
        [typeof(TimeGroup)] = value => $"{value}",
        [typeof(Arrival)] = value => FormattableString.Invariant($"{((Arrival)value).Seconds * 1000:0.00} ms ({((Arrival)value).Method.ToString().ToLowerInvariant()})"),
        [typeof(Position)] = value => ((Position)value) is var at ? FormattableString.Invariant($"{at.XMetres:0.00}, {at.YMetres:0.00}, {at.ZMetres:0.00} m") : "",
        [typeof(Take)] = value => ((Take)value).File,
        [typeof(Source)] = value => ((Source)value).Id,
        [typeof(Seat)] = value => ((Seat)value).Id,
        [typeof(Setting)] = value => ((Setting)value).Id,
        [typeof(Microphone)] = value => ((Microphone)value).Id,
        [typeof(RelativeDelay)] = value => ((RelativeDelay)value) is var delay ? FormattableString.Invariant($"{delay.Seconds * 1000:0.00} ± {delay.UncertaintySeconds * 1000:0.00} ms, {delay.PolarityInWords} polarity") : "",
        [typeof(Complex)] = value => ((Complex)value) is var number ? FormattableString.Invariant($"{number.Magnitude:G4} at {number.Phase * 180 / Math.PI:0.0}°") : "",
    };

    /// <summary>One value: its facts below one another.</summary>
    public static ShownPart Of(object value)
    {
        var facts = Properties(value.GetType()).Select(property => (property, Text: Text(Value(property, value)))).Where(fact => fact.Text.Length > 0).Select(fact => WithUnit(fact.property, fact.Text)).ToArray();
        return facts.Length == 0 ? new SentencePart($"{Words(value.GetType().Name)}, nothing to list.") : new FactsPart(Words(value.GetType().Name), facts);
    }

    /// <summary>Several values: a row for each, a column for each fact that at least one of them has.</summary>
    public static ShownPart Table(Type type, IEnumerable values)
    {
        var all = values.Cast<object>().ToArray();
        if (all.Length == 0) return new SentencePart("None.");
        var shown = all.Take(FrameHtml.ShownRows).ToArray();
        var columns = Properties(type).Where(property => IsColumn(property.PropertyType))
            .Select(property => (Title: Title(property), IsNumber: IsNumber(property.PropertyType), Texts: shown.Select(value => Text(Value(property, value))).ToArray()))
            .Where(column => column.Texts.Any(text => text is not ("" or "–"))).ToArray();
        if (columns.Length == 0) columns = [(Words(type.Name), false, [.. shown.Select(value => Brief.TryGetValue(type, out var brief) ? brief(value) : $"{value}")])];
        return new TablePart([.. columns.Select(column => (column.Title, column.IsNumber))], [.. Enumerable.Range(0, shown.Length).Select(n => (string[])[.. columns.Select(column => column.Texts[n])])], all.Length);
    }

    /// <summary>A table of numbers from titles and rows.</summary>
    public static ShownPart Rows(IReadOnlyList<string> titles, IEnumerable<double[]> rows)
    {
        string[][] all = [.. rows.Select(row => (string[])[.. row.Select(number => Text(number))])];
        return new TablePart([.. titles.Select(title => (title, true))], [.. all.Take(FrameHtml.ShownRows)], all.Length);
    }

    /// <summary>A value of the library that is one thing in the end, in a few words; null for any other.</summary>
    public static string? InOneLine(object value) => Brief.TryGetValue(value.GetType(), out var brief) ? brief(value) : null;

    private static (string, string) WithUnit(PropertyInfo property, string text)
    {
        var (words, unit) = Named(property);
        return (words, unit.Length == 0 || text == "–" ? text : unit == "°" ? $"{text}°" : $"{text} {unit}");
    }

    /// <summary>A property's name in words, and its unit.</summary>
    internal static (string Words, string Unit) Named(PropertyInfo property)
    {
        if (!IsNumber(property.PropertyType)) return (Words(property.Name), "");
        foreach (var (end, unit) in Units)
            if (property.Name.EndsWith(end, StringComparison.Ordinal)) return (property.Name.Length == end.Length ? Words(end) : Words(property.Name[..^end.Length]), unit);
        return (Words(property.Name), "");
    }

    private static string Title(PropertyInfo property) => Named(property) is (var words, { Length: > 0 } unit) ? $"{words} ({unit})" : Named(property).Words;

    private static IEnumerable<PropertyInfo> Properties(Type type) => type.GetProperties(BindingFlags.Public | BindingFlags.Instance)
        .Where(property => property.GetIndexParameters().Length == 0 && !Left.Contains(property.Name) && (IsColumn(property.PropertyType) || typeof(IEnumerable).IsAssignableFrom(property.PropertyType)));

    private static bool IsColumn(Type type)
    {
        var plain = Nullable.GetUnderlyingType(type) ?? type;
        return IsNumber(plain) || plain.IsEnum || plain == typeof(string) || plain == typeof(bool) || plain == typeof(DateOnly) || plain == typeof(DateTime) || Brief.ContainsKey(plain)
            || plain.GetMethod("ToString", BindingFlags.Public | BindingFlags.Instance | BindingFlags.DeclaredOnly, [])?.DeclaringType == plain && plain.Namespace?.StartsWith("Sweepbook", StringComparison.Ordinal) == true && !IsRecord(plain);
    }

    private static bool IsRecord(Type type) => type.GetMethod("PrintMembers", BindingFlags.NonPublic | BindingFlags.Instance) is not null;

    private static bool IsNumber(Type type) => (Nullable.GetUnderlyingType(type) ?? type) is var plain && (plain == typeof(double) || plain == typeof(int));

    private static object? Value(PropertyInfo property, object of)
    {
        try
        {
            return property.GetValue(of) is var value && value is double and not 0 and > -LeastSeconds and < LeastSeconds && property.Name.EndsWith("Seconds", StringComparison.Ordinal) ? LeastInWords : value;
        }
        catch (TargetInvocationException thrown) when (thrown.InnerException is InvalidOperationException or ArgumentException)
        {
            return null;   // a fact that this value does not have
        }
    }

    private static string Text(object? value) => value switch
    {
        null => "",
        string text => text,
        bool flag => flag ? "yes" : "no",
        double number when !double.IsFinite(number) => "–",
        double number => Number(number),
        Enum word => Words(word.ToString()),
        DateOnly date => date.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture),
        DateTime moment => moment.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture),
        _ when Brief.TryGetValue(value.GetType(), out var brief) => brief(value),
        IEnumerable<string> words when words.Count() is > 0 and <= MostWords => string.Join(", ", words),
        IDictionary map => map.Count == 0 ? "" : string.Create(CultureInfo.InvariantCulture, $"{map.Count} of them"),
        ICollection many => many.Count == 0 ? "" : string.Create(CultureInfo.InvariantCulture, $"{many.Count} of them"),
        IEnumerable => "",
        IFormattable other => other.ToString(null, CultureInfo.InvariantCulture),
        _ => $"{value}",
    };

    /// <summary>The decay time of each band where one can be given, T30 before T20.</summary>
    private static string DecayTimes(BandDecays decays)
    {
        var given = decays.Select(decay => (decay.Band, Time: decay.T30.IsValid ? decay.T30 : decay.T20)).Where(decay => decay.Time.IsValid)
            .Select(decay => string.Create(CultureInfo.InvariantCulture, $"{decay.Time.Value:0.00} s at {decay.Band.Label} Hz")).ToArray();
        return given.Length == 0 ? "none can be given" : string.Join(", ", given);
    }

    private static string Number(double number)
    {
        var text = Math.Abs(number) is >= 1e-4 and < 1e7 ? Math.Round(number, Math.Clamp(Digits - 1 - (int)Math.Floor(Math.Log10(Math.Abs(number))), 0, 10)).ToString("0.##########", CultureInfo.InvariantCulture)
            : number.ToString("G4", CultureInfo.InvariantCulture);
        return text.StartsWith('-') ? "−" + text[1..] : text;
    }

    /// <summary>"MedianCompression" as "median compression".</summary>
    private static string Words(string name) => Capitals().Replace(name, match => " " + match.Value.ToLowerInvariant()).Trim() is var words && words.StartsWith("is ", StringComparison.Ordinal) ? words[3..] : words == "snr" ? "signal over noise" : words;

    [GeneratedRegex("[A-Z](?![A-Z0-9]*$)|(?<=[a-z])[A-Z]+")]
    private static partial Regex Capitals();
}
