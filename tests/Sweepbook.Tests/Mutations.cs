// SPDX-License-Identifier: MIT
using System.Buffers.Binary;
using System.Globalization;
using Sweepbook.Files;
using Xunit;

namespace Sweepbook.Tests;

/// <summary>Damaged copies of a good file, the same for the same seed everywhere: bits flipped, bytes cut, inserted, doubled, lengths made absurd.</summary>
internal static class Mutations
{
    private const string Variable = "SWEEPBOOK_MUTATIONS";
    private const int Usually = 2000;
    private const int MostSteps = 4;
    private const int MostInserted = 64;

    // Memory that reading one damaged copy may take: generous for a file of a few hundred bytes, tiny beside the 1 GB that is allowed.
    private const long MostBytesTaken = 8 << 20;

    // Read calls on one damaged copy: a reader that walks in circles reaches this at once, an honest one never does.
    private const int MostCalls = 20_000;

    private static readonly uint[] _absurd = [0, 1, 0x7FFFFFFF, 0x80000000, 0xFFFFFFFE, 0xFFFFFFFF, 0xFFFF, 0x10000, 0x7FFF];

    /// <summary>How many copies to try: 2 000, or what SWEEPBOOK_MUTATIONS says.</summary>
    public static int Count { get; } = Environment.GetEnvironmentVariable(Variable) is { Length: > 0 } text
        ? int.Parse(text, NumberStyles.None, CultureInfo.InvariantCulture)
        : Usually;

    /// <summary>One damaged copy: one to four steps of damage.</summary>
    public static byte[] Of(byte[] original, int seed)
    {
        var random = new Generator((ulong)seed);
        var bytes = original.ToList();
        for (var steps = 1 + random.Below(MostSteps); steps > 0; steps--) Damage(bytes, original, ref random);
        return [.. bytes];
    }

    /// <summary>Reads <see cref="Count"/> damaged copies of the originals: each is read, or refused with a <see cref="DataFault"/>; no other exception, no circle, little memory.</summary>
    /// <returns>How many were refused, so that a test can see that the damage bites.</returns>
    public static int Survive(IReadOnlyList<byte[]> originals, Action<Stream> read)
    {
        var refused = 0;
        for (var seed = 0; seed < Count; seed++)
        {
            var bytes = Of(originals[seed % originals.Count], seed);
            var before = GC.GetAllocatedBytesForCurrentThread();
            try
            {
                read(new PatientStream(bytes));
            }
            catch (DataFault fault)
            {
                refused++;
                Assert.True(fault.Message.Length < 1000 && !fault.Message.Any(char.IsControl), $"seed {seed}: {fault.Message}");
            }
            catch (Exception other)
            {
                Assert.Fail($"seed {seed}: {other}");
            }
            var taken = GC.GetAllocatedBytesForCurrentThread() - before;
            Assert.True(taken < MostBytesTaken, $"seed {seed}: {taken} bytes of memory for a file of {bytes.Length}");
        }
        return refused;
    }

    private static void Damage(List<byte> bytes, byte[] original, ref Generator random)
    {
        if (bytes.Count == 0) return;
        var at = random.Below(bytes.Count);
        var some = 1 + random.Below(Math.Min(MostInserted, bytes.Count - at));
        switch (random.Below(9))
        {
            case 0: bytes[at] ^= (byte)(1 << random.Below(8)); break;
            case 1: bytes[at] = (byte)random.Below(256); break;
            case 2: bytes.RemoveRange(at, bytes.Count - at); break;
            case 3: bytes.RemoveRange(at, some); break;
            case 4: for (; some > 0; some--) bytes.Insert(at, (byte)random.Below(256)); break;
            case 5: bytes.InsertRange(at, bytes.GetRange(at, some)); break;                  // a piece twice
            case 6: bytes.InsertRange(at, original); break;                                  // the whole file inside itself
            case 7: bytes.InsertRange(random.Below(bytes.Count), bytes.GetRange(at, some)); break;
            default:
                at = Math.Min(at, Math.Max(0, Math.Min(bytes.Count - 4, 64)));               // lengths stand near the beginning
                if (bytes.Count < 4) break;
                var word = new byte[4];
                BinaryPrimitives.WriteUInt32LittleEndian(word, _absurd[random.Below(_absurd.Length)]);
                for (var k = 0; k < 4; k++) bytes[at + k] = word[k];
                break;
        }
    }

    /// <summary>SplitMix64: G. L. Steele, D. Lea, C. H. Flood, "Fast Splittable Pseudorandom Number Generators", OOPSLA 2014, with D. Stafford's mixer 13.</summary>
    private struct Generator(ulong seed)
    {
        private ulong _state = seed;

        public int Below(int end) => (int)(Next() % (ulong)end);

        private ulong Next()
        {
            _state += 0x9E3779B97F4A7C15;
            var z = (_state ^ (_state >> 30)) * 0xBF58476D1CE4E5B9;
            z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
            return z ^ (z >> 31);
        }
    }

    private sealed class PatientStream(byte[] bytes) : MemoryStream(bytes, writable: false)
    {
        private int _calls;

        public override int Read(byte[] buffer, int offset, int count) => Counted(base.Read(buffer, offset, count));

        public override int Read(Span<byte> buffer) => Counted(base.Read(buffer));

        private int Counted(int got) => ++_calls <= MostCalls ? got : throw new InvalidOperationException("The reader walks in circles.");
    }
}
