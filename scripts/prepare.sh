#!/usr/bin/env bash
# Makes .venv with the packages of one lock file and Kerfsmith itself. Called by ./start and ./check.
#   prepare.sh LOCK [DEBIAN PACKAGE...]
set -euo pipefail
cd "$(dirname "$0")/.."
lock=$1
shift

as_root() {
    if [ "$(id -u)" = 0 ]; then "$@"; else sudo "$@"; fi
}

install_debian() { # only what is missing
    local missing=()
    for package in "$@"; do
        dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q 'ok installed' || missing+=("$package")
    done
    [ ${#missing[@]} = 0 ] && return
    echo "Installing from Debian: ${missing[*]}"
    as_root apt-get update -qq
    as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
}

python=$(command -v python3.11 || command -v python3) || { install_debian python3; python=$(command -v python3); }
"$python" -c 'import sys; sys.exit(sys.version_info < (3, 11))' || {
    echo "Kerfsmith needs Python 3.11 or newer; $python is older." >&2
    exit 1
}
"$python" -c 'import ensurepip, venv' 2>/dev/null || install_debian python3-venv
[ $# = 0 ] || install_debian "$@"

stamp=.venv/installed-$(basename "$lock").sha256
[ -x .venv/bin/python ] || "$python" -m venv .venv
if ! sha256sum --check --status "$stamp" 2>/dev/null; then
    echo "Installing the pinned packages of $lock"
    .venv/bin/python -m pip install --quiet --disable-pip-version-check --require-hashes -r "$lock" 2>&1 |
        { grep -v '^WARNING: Location' || true; }
    .venv/bin/python -m pip install --quiet --disable-pip-version-check --no-build-isolation --no-deps -e . 2>&1 |
        { grep -v '^WARNING: Location' || true; }
    sha256sum "$lock" >"$stamp"
fi
