// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Sweepbook.Files;

/// <summary>What a number may be, with its unit, so that a fault can say "must lie in (0, 96000] Hz".</summary>
internal readonly record struct TomlRange(double From, double To, string Unit, bool IncludesFrom = true)
{
    /// <summary>False for NaN too; the ends are finite, so infinities lie outside.</summary>
    internal bool Contains(double value) => (IncludesFrom ? value >= From : value > From) && value <= To;

    /// <summary>Above zero up to <paramref name="to"/>.</summary>
    internal static TomlRange Above0UpTo(double to, string unit) => new(0, to, unit, false);

    /// <inheritdoc/>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture,
        $"{(IncludesFrom ? '[' : '(')}{From:0.######}, {To:0.######}]{(Unit.Length > 0 ? " " : "")}{Unit}");
}
