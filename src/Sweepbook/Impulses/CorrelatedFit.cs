// SPDX-License-Identifier: MIT
namespace Sweepbook.Impulses;

/// <summary>A straight fit through values whose errors hang together: least squares weighted with the inverse of their covariance.</summary>
/// <remarks>Source: A. C. Aitken, Proc. Royal Society of Edinburgh 55 (1935) 42–48 (the estimate of least variance); by Cholesky factors.</remarks>
internal static class CorrelatedFit
{
    /// <param name="model">A row of factors per value.</param>
    /// <param name="values">What was measured.</param>
    /// <param name="covariance">Of the errors of values i and j; positive definite.</param>
    /// <returns>The coefficients and their standard deviations.</returns>
    internal static (double[] Values, double[] Deviations) Of(double[][] model, double[] values, Func<int, int, double> covariance)
    {
        var (count, wanted) = (values.Length, model[0].Length);
        var c = new double[count, count];
        for (var i = 0; i < count; i++)
            for (var j = 0; j <= i; j++) c[i, j] = covariance(i, j);
        Factor(c);
        var columns = new double[wanted + 1][];
        for (var p = 0; p <= wanted; p++) columns[p] = Forward(c, [.. Enumerable.Range(0, count).Select(k => p < wanted ? model[k][p] : values[k])]);
        var scale = columns[..wanted].Select(column => Math.Sqrt(Product(column, column))).ToArray();   // the factors have very different sizes
        var normal = new double[wanted, wanted];
        for (var i = 0; i < wanted; i++)
            for (var j = 0; j <= i; j++) normal[i, j] = Product(columns[i], columns[j]) / (scale[i] * scale[j]);
        Factor(normal);
        var right = Forward(normal, [.. Enumerable.Range(0, wanted).Select(p => Product(columns[p], columns[wanted]) / scale[p])]);
        var (found, deviations) = (Backward(normal, right), new double[wanted]);
        for (var p = 0; p < wanted; p++)
        {
            var unit = new double[wanted];
            unit[p] = 1;
            var half = Forward(normal, unit);
            (found[p], deviations[p]) = (found[p] / scale[p], Math.Sqrt(Product(half, half)) / scale[p]);
        }
        return (found, deviations);
    }

    /// <summary>Replaces the lower triangle of a positive definite matrix by its Cholesky factor.</summary>
    internal static void Factor(double[,] matrix)
    {
        for (var i = 0; i < matrix.GetLength(0); i++)
            for (var j = 0; j <= i; j++)
            {
                var sum = matrix[i, j];
                for (var k = 0; k < j; k++) sum -= matrix[i, k] * matrix[j, k];
                matrix[i, j] = i == j ? Math.Sqrt(Math.Max(sum, 1e-300)) : sum / matrix[j, j];
            }
    }

    internal static double[] Forward(double[,] factor, double[] right)
    {
        for (var i = 0; i < right.Length; i++)
        {
            for (var k = 0; k < i; k++) right[i] -= factor[i, k] * right[k];
            right[i] /= factor[i, i];
        }
        return right;
    }

    internal static double[] Backward(double[,] factor, double[] right)
    {
        for (var i = right.Length - 1; i >= 0; i--)
        {
            for (var k = i + 1; k < right.Length; k++) right[i] -= factor[k, i] * right[k];
            right[i] /= factor[i, i];
        }
        return right;
    }

    internal static double Product(double[] one, double[] other)
    {
        var sum = 0.0;
        for (var n = 0; n < one.Length; n++) sum += one[n] * other[n];
        return sum;
    }
}
