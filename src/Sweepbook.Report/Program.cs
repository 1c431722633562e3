// SPDX-License-Identifier: MIT
// The child process of a notebook run: see NotebookRun, which starts it and speaks to it. One notebook per process.
// With a word behind it, the maintainers' tool that derives exercises from their solutions: see ExerciseFolder.
return args is [Sweepbook.Report.ExerciseFolder.Verb, ..] ? Sweepbook.Report.ExerciseFolder.Run(args) : await Sweepbook.Report.ChildProcess.RunAsync();
