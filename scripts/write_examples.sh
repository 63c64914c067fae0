#!/usr/bin/env bash
# Runs every worked script and keeps what it prints beside it.
set -euo pipefail
cd "$(dirname "$0")/.."
mkdir -p examples/printed
for script in examples/*.py; do
    folder=$(mktemp -d)
    (cd "$folder" && "$OLDPWD/.venv/bin/python" "$OLDPWD/$script") >"examples/printed/$(basename "$script" .py).txt"
    rm -r "$folder"
done
