// SPDX-License-Identifier: MIT
using Sweepbook.Cli;

return await CommandLine.RunAsync(args);
