// SPDX-License-Identifier: MIT
using BenchmarkDotNet.Running;
using Sweepbook.Benchmarks;

switch (args)
{
    case ["beside-scipy"]: BesideSciPy.Run(); break;
    case ["worker", var name, var folder]: Worker.Serve(name, folder); break;
    default: BenchmarkSwitcher.FromAssembly(typeof(Program).Assembly).Run(args); break;
}
