#!/bin/sh
# SPDX-License-Identifier: MIT
# Installs the C# kernel for Jupyter, untouched and in the pinned version, into a folder of its own; nothing outside of it changes.
#   environment/jupyter-kernel.sh [FOLDER]      default: artifacts/jupyter beside this folder
# Then:  JUPYTER_PATH=FOLDER jupyter notebook notebooks/
# Needs the .NET SDK and, once, a network. The kernel's own web interface is confined to this machine (--http-local-only).
set -eu
version=1.0.712001
here=$(cd "$(dirname "$0")/.." && pwd)
folder=${1:-$here/artifacts/jupyter}
mkdir -p "$folder"
folder=$(cd "$folder" && pwd)
tool=$folder/tool
export DOTNET_CLI_TELEMETRY_OPTOUT=1 DOTNET_NOLOGO=1

if [ ! -d "$tool/.store/microsoft.dotnet-interactive/$version" ]; then
    rm -rf "$tool"
    dotnet tool install Microsoft.dotnet-interactive --version "$version" --tool-path "$tool"
fi
program=$(find "$tool/.store" -name Microsoft.DotNet.Interactive.App.dll | head -n 1)
[ -n "$program" ] || { echo "The tool was installed, but its program is not where it should be: $tool" >&2; exit 1; }

mkdir -p "$folder/kernels/sweepbook"
# The stop button sends SIGINT, which would end the kernel: it ignores it and gets SIGURG in its place, which stops the work that runs and does nothing else.
start='(trap \"\" INT; exec \"$@\") & k=$!; trap \"kill -URG $k\" INT; trap \"kill -TERM $k\" TERM; while kill -0 $k 2>/dev/null; do wait $k; done'
cat > "$folder/kernels/sweepbook/kernel.json" <<JSON
{
  "argv": ["sh", "-c", "$start", "sweepbook-kernel", "dotnet", "$program", "jupyter", "--http-local-only", "--default-kernel", "csharp", "{connection_file}"],
  "display_name": "Sweepbook (C#)",
  "language": "C#",
  "env": { "SWEEPBOOK_STOP_SIGNAL": "URG", "DOTNET_INTERACTIVE_CLI_TELEMETRY_OPTOUT": "1", "DOTNET_gcServer": "0", "DOTNET_TieredPGO": "0" }
}
JSON
echo "The kernel is ready. Start Jupyter with: JUPYTER_PATH=$folder jupyter notebook $here/notebooks"
