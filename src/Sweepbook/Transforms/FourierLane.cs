// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace Sweepbook.Transforms;

/// <summary>One or several complex numbers side by side in one register; the butterflies are written once, for any width.</summary>
/// <remarks>Indices count doubles, not complex numbers. Nothing is checked here: the plan has checked every length.</remarks>
internal interface IFourierLane<TSelf> where TSelf : struct, IFourierLane<TSelf>
{
    /// <summary>Complex numbers per register.</summary>
    static abstract int Width { get; }

    static abstract TSelf Load(ref readonly double origin, nint index);

    static abstract void Store(TSelf value, ref double origin, nint index);

    /// <summary>(v, v, …).</summary>
    static abstract TSelf Same(double value);

    /// <summary>(−v, +v, …): what multiplies the swapped number in a complex product.</summary>
    static abstract TSelf Alternating(double value);

    static abstract TSelf operator +(TSelf left, TSelf right);

    static abstract TSelf operator -(TSelf left, TSelf right);

    static abstract TSelf operator *(TSelf left, TSelf right);

    /// <summary>left · right + addend, element by element.</summary>
    static abstract TSelf MultiplyAdd(TSelf left, TSelf right, TSelf addend);

    /// <summary>Real and imaginary parts exchanged.</summary>
    static abstract TSelf Swap(TSelf value);

    /// <summary>−j · value = (imaginary, −real).</summary>
    static abstract TSelf TimesMinusJ(TSelf value);
}

/// <summary>Two complex numbers in a 256-bit register.</summary>
internal readonly struct PairLane(Vector256<double> value) : IFourierLane<PairLane>
{
    public readonly Vector256<double> Value = value;

    public static int Width => 2;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static PairLane Load(ref readonly double origin, nint index) => new(Vector256.LoadUnsafe(ref Unsafe.Add(ref Unsafe.AsRef(in origin), index)));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Store(PairLane value, ref double origin, nint index) => value.Value.StoreUnsafe(ref Unsafe.Add(ref origin, index));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static PairLane Same(double value) => new(Vector256.Create(value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static PairLane Alternating(double value) => new(Vector256.Create(-value, value, -value, value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static PairLane operator +(PairLane left, PairLane right) => new(left.Value + right.Value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static PairLane operator -(PairLane left, PairLane right) => new(left.Value - right.Value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static PairLane operator *(PairLane left, PairLane right) => new(left.Value * right.Value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static PairLane MultiplyAdd(PairLane left, PairLane right, PairLane addend) =>
        new(Vector256.MultiplyAddEstimate(left.Value, right.Value, addend.Value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static PairLane Swap(PairLane value) => new(Vector256.Shuffle(value.Value, Vector256.Create(1L, 0, 3, 2)));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static PairLane TimesMinusJ(PairLane value) => new(Swap(value).Value ^ Vector256.Create(0.0, -0.0, 0.0, -0.0));
}

/// <summary>One complex number in a 128-bit register: the portable width, and the one for odd strides.</summary>
internal readonly struct SingleLane(Vector128<double> value) : IFourierLane<SingleLane>
{
    public readonly Vector128<double> Value = value;

    public static int Width => 1;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static SingleLane Load(ref readonly double origin, nint index) => new(Vector128.LoadUnsafe(ref Unsafe.Add(ref Unsafe.AsRef(in origin), index)));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Store(SingleLane value, ref double origin, nint index) => value.Value.StoreUnsafe(ref Unsafe.Add(ref origin, index));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static SingleLane Same(double value) => new(Vector128.Create(value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static SingleLane Alternating(double value) => new(Vector128.Create(-value, value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static SingleLane operator +(SingleLane left, SingleLane right) => new(left.Value + right.Value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static SingleLane operator -(SingleLane left, SingleLane right) => new(left.Value - right.Value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static SingleLane operator *(SingleLane left, SingleLane right) => new(left.Value * right.Value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static SingleLane MultiplyAdd(SingleLane left, SingleLane right, SingleLane addend) =>
        new(Vector128.MultiplyAddEstimate(left.Value, right.Value, addend.Value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static SingleLane Swap(SingleLane value) => new(Vector128.Shuffle(value.Value, Vector128.Create(1L, 0)));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static SingleLane TimesMinusJ(SingleLane value) => new(Swap(value).Value ^ Vector128.Create(0.0, -0.0));
}
