// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Xunit;

namespace Sweepbook.Tests.Impulses;

public sealed class CorrelatedFitTests
{
    private const double Rounding = 1e-12;

    /// <summary>Closed form: with equal, independent errors of deviation σ the slope through n places has the deviation σ / √(Σ (x − x̄)²).</summary>
    [Fact]
    public void With_independent_errors_it_is_the_straight_line_of_least_squares()
    {
        var (values, deviations) = CorrelatedFit.Of([[1, 0], [1, 1], [1, 2]], [1, 2, 6], (i, j) => i == j ? 0.09 : 0);
        Assert.Equal([0.5, 2.5], values, (a, b) => Math.Abs(a - b) < Rounding);
        Assert.Equal(0.3 / Math.Sqrt(2), deviations[1], Rounding);
        Assert.Equal(0.3 * Math.Sqrt(5 / 6.0), deviations[0], Rounding);   // σ √(1/n + x̄² / Σ (x − x̄)²)
    }

    /// <summary>Closed form: of two readings of one number with deviations 1 and 2 and correlation ρ, the weight of the first is (4 − 2ρ) / (5 − 4ρ), the variance 4(1 − ρ²) / (5 − 4ρ).</summary>
    [Fact]
    public void Errors_that_hang_together_move_the_weights()
    {
        const double Correlation = 0.25;
        var (values, deviations) = CorrelatedFit.Of([[1], [1]], [10, 20], (i, j) => i == j ? (i + 1) * (i + 1) : 2 * Correlation);
        var first = (4 - 2 * Correlation) / (5 - 4 * Correlation);
        Assert.Equal(10 * first + 20 * (1 - first), values[0], Rounding);
        Assert.Equal(Math.Sqrt(4 * (1 - Correlation * Correlation) / (5 - 4 * Correlation)), deviations[0], Rounding);
    }

    [Fact]
    public void Factors_of_very_different_sizes_do_no_harm()
    {
        var (values, _) = CorrelatedFit.Of([[1e9, 1e-6], [2e9, -1e-6], [3e9, 1e-6]], [3, 1, 7], (i, j) => i == j ? 1 : 0.1);
        var (plain, _) = CorrelatedFit.Of([[1, 1], [2, -1], [3, 1]], [3, 1, 7], (i, j) => i == j ? 1 : 0.1);
        Assert.Equal(plain[0], values[0] * 1e9, Rounding);
        Assert.Equal(plain[1], values[1] * 1e-6, Rounding);
    }
}
