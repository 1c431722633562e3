// SPDX-License-Identifier: MIT
// The set-up of every notebook. Build once before (dotnet build): that fills the folder below.
#r "../artifacts/notebook/Sweepbook.Bootstrap.dll"
#r "../artifacts/notebook/Sweepbook.dll"
#r "../artifacts/notebook/Sweepbook.Notebook.dll"
#r "../artifacts/notebook/Plotly.NET.dll"
#r "../artifacts/notebook/DynamicObj.dll"
#r "../artifacts/notebook/Deedle.dll"
#r "../artifacts/notebook/FSharp.Core.dll"
Sweepbook.Bootstrap.Loader.Init();   // before anything touches a figure or a table
Sweepbook.Notebook.NotebookSetup.Init();
