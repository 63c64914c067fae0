#!/usr/bin/env bash
# Rewrites both lock files from pyproject.toml. Run it after changing a dependency; needs uv on the path.
set -euo pipefail
cd "$(dirname "$0")/.."
lock() { # lock FILE EXTRA...
    local out=$1; shift
    uv pip compile pyproject.toml "${@/#/--extra=}" --universal --python-version 3.11 --generate-hashes \
        --no-emit-index-url --no-emit-find-links --no-header --no-annotate --quiet -o "$out"
}
lock lock/run.txt app build
lock lock/dev.txt app build cluster dev
