#!/bin/sh
# SPDX-License-Identifier: MIT
# Fetches axe-core, which the browser tests run over the report to find what a keyboard or a screen reader would stumble over. It is a tool of the
# tests alone: nothing that is built or written holds any of it. Licence of axe-core: MPL-2.0.
#   environment/axe.sh [FOLDER]      default: artifacts/axe beside this folder
# Needs npm and, once, a network.
set -eu
version=4.14.1
here=$(cd "$(dirname "$0")/.." && pwd)
folder=${1:-$here/artifacts/axe}
script=$folder/node_modules/axe-core/axe.min.js
if [ -f "$script" ] && grep -q "axe v$version" "$script"; then exit 0; fi
command -v npm >/dev/null || { echo "npm is missing (Debian: apt install npm); without axe-core the accessibility tests of the report are skipped." >&2; exit 1; }
mkdir -p "$folder"
npm install --prefix "$folder" --no-save --no-audit --no-fund --ignore-scripts --loglevel=error "axe-core@$version"
[ -f "$script" ] || { echo "npm installed axe-core, but not where it should be: $script" >&2; exit 1; }
echo "axe-core $version is ready: $script"
