// SPDX-License-Identifier: MIT
// The child process of a notebook run: see NotebookRun, which starts it and speaks to it. One notebook per process.
return await Sweepbook.Report.ChildProcess.RunAsync();
