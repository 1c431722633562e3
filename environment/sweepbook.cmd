@echo off
rem Starts the built command from any folder. It builds nothing and needs no network.
setlocal
set "SWEEPBOOK_PROGRAM=%~dp0..\src\Sweepbook.Cli\bin\Release\net10.0\Sweepbook.Cli.dll"
if not exist "%SWEEPBOOK_PROGRAM%" (
  echo sweepbook is not built yet: run "dotnet build" in "%~dp0.." 1>&2
  exit /b 2
)
dotnet "%SWEEPBOOK_PROGRAM%" %*
