// SPDX-License-Identifier: MIT
using MathNet.Numerics.LinearAlgebra;

namespace Sweepbook.Impulses;

/// <summary>A straight fit through values whose errors hang together: least squares weighted with the inverse of their covariance.</summary>
/// <remarks>Source: A. C. Aitken, Proc. Royal Society of Edinburgh 55 (1935) 42–48 (the estimate of least variance); solved with Cholesky factors by Math.NET Numerics.</remarks>
internal static class CorrelatedFit
{
    /// <param name="model">A row of factors per value.</param>
    /// <param name="values">What was measured.</param>
    /// <param name="covariance">Of the errors of values i and j; symmetric and positive definite.</param>
    /// <returns>The coefficients and their standard deviations.</returns>
    internal static (double[] Values, double[] Deviations) Of(double[][] model, double[] values, Func<int, int, double> covariance)
    {
        var weight = Matrix<double>.Build.Dense(values.Length, values.Length, covariance).Cholesky();
        var rows = Matrix<double>.Build.DenseOfRowArrays(model);
        var scale = rows.ColumnNorms(2);   // the factors have very different sizes
        var factors = Matrix<double>.Build.Dense(rows.RowCount, rows.ColumnCount, (k, p) => rows[k, p] / scale[p]);
        var weighted = weight.Solve(factors);
        var normal = factors.TransposeThisAndMultiply(weighted).Cholesky();
        var found = normal.Solve(weighted.TransposeThisAndMultiply(Vector<double>.Build.Dense(values)));
        var spread = normal.Solve(Matrix<double>.Build.DenseIdentity(rows.ColumnCount));
        return ([.. found.Select((value, p) => value / scale[p])], [.. Enumerable.Range(0, rows.ColumnCount).Select(p => Math.Sqrt(spread[p, p]) / scale[p])]);
    }
}
