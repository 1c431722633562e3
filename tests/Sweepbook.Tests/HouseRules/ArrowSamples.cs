// SPDX-License-Identifier: MIT
// Each namespace plays a folder that reaches into Target in one way only; the reader has to see every one of them.
#pragma warning disable CA1822, CS0067, IDE0059
namespace Sweepbook.Tests.HouseRules.Samples.Target
{
    public class Open
    {
        public static Open Make() => new();
    }

    public interface IOpen;

    public sealed class Failure : Exception;

    public sealed class MarkAttribute : Attribute;

    public enum Choice { First }

    public static class Calls
    {
        public static int Plain() => 1;

        public static T Generic<T>() => default!;

        public static int WithChoice(Choice choice) => (int)choice;
    }
}

namespace Sweepbook.Tests.HouseRules.Samples.Between
{
    public sealed class Bridge
    {
        public Target.Open Give() => Target.Open.Make();

        public string Take(Target.Open? given) => $"{given}";
    }
}

namespace Sweepbook.Tests.HouseRules.Samples.ByBaseType { public sealed class Sample : Target.Open; }

namespace Sweepbook.Tests.HouseRules.Samples.ByInterface { public sealed class Sample : Target.IOpen; }

namespace Sweepbook.Tests.HouseRules.Samples.ByField { public sealed class Sample { private readonly Target.Open[]? _field = null; public bool Any => _field is not null; } }

namespace Sweepbook.Tests.HouseRules.Samples.ByParameter { public static class Sample { public static bool Is(IReadOnlyList<Target.Open?> given) => given.Count > 0; } }

namespace Sweepbook.Tests.HouseRules.Samples.ByEvent { public sealed class Sample { public event Action<Target.Open>? Happened; } }

namespace Sweepbook.Tests.HouseRules.Samples.ByCall { public static class Sample { public static int Get() => Target.Calls.Plain(); } }

namespace Sweepbook.Tests.HouseRules.Samples.ByTypeArgument { public static class Sample { public static object? Get() => new List<Target.Open>().Count; } }

namespace Sweepbook.Tests.HouseRules.Samples.ByTypeOf { public static class Sample { public static string Get() => typeof(Target.Open).Name; } }

namespace Sweepbook.Tests.HouseRules.Samples.ByEnumArgument { public static class Sample { public static int Get() => Target.Calls.WithChoice(default); } }

namespace Sweepbook.Tests.HouseRules.Samples.ByCatch
{
    public static class Sample
    {
        public static bool Try(Action action)
        {
            try { action(); return true; }
            catch (Target.Failure) { return false; }
        }
    }
}

namespace Sweepbook.Tests.HouseRules.Samples.ByCallAfterSwitch
{
    public static class Sample
    {
        public static int Get(int choice)
        {
            switch (choice)
            {
                case 0: choice += 3; break;
                case 1: choice += 7; break;
                case 2: choice *= 5; break;
                case 3: choice -= 9; break;
            }
            return choice + Target.Calls.Plain();
        }
    }
}

namespace Sweepbook.Tests.HouseRules.Samples.ByLambda { public static class Sample { public static Func<int, int> Get() => k => k + Target.Calls.Plain(); } }

namespace Sweepbook.Tests.HouseRules.Samples.ByIterator { public static class Sample { public static IEnumerable<int> Get() { yield return Target.Calls.Plain(); } } }

namespace Sweepbook.Tests.HouseRules.Samples.ByAsync { public static class Sample { public static async Task<int> Get() { await Task.Yield(); return Target.Calls.Plain(); } } }

namespace Sweepbook.Tests.HouseRules.Samples.ByNestedType { public sealed class Sample { private static class Inner { public static int Get() => Target.Calls.Plain(); } public static int Get() => Inner.Get(); } }

namespace Sweepbook.Tests.HouseRules.Samples.ByAttribute { [Target.Mark] public static class Sample; }

namespace Sweepbook.Tests.HouseRules.Samples.ByAttributeArgument { [System.Diagnostics.DebuggerTypeProxy(typeof(Target.Open))] public static class Sample; }

namespace Sweepbook.Tests.HouseRules.Samples.ByConstraint { public sealed class Sample<T> where T : Target.IOpen; }

namespace Sweepbook.Tests.HouseRules.Samples.ByPassingOn { public static class Sample { public static string Get(Between.Bridge bridge) => bridge.Take(bridge.Give()); } }

namespace Sweepbook.Tests.HouseRules.Samples.Innocent { public static class Sample { public static int Get(IReadOnlyList<int> numbers) => numbers.Sum(); } }
