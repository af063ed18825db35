#!/bin/sh
# Sets canivet up in .venv and runs it: nothing but Python 3.11 or newer needs to be there before.
#
#   sh start.sh plate [DESIGN.toml] [FOLDER]   set up, then draw a plate (the gallery's, into ./drawings)
#   sh start.sh tests                          set up with the test tools, then run every check
#   sh start.sh library                        only see to the cairo library
set -eu

here=$(cd "$(dirname "$0")" && pwd)
venv=${CANIVET_VENV:-$here/.venv}
python=$venv/bin/python

say() { printf '%s\n' "$*" >&2; }
stop() { say "start.sh: $*"; exit 1; }

# Run a command as root: as it is, or through sudo where that asks nothing.
as_root() {
    if [ "$(id -u)" = 0 ]; then "$@"
    elif command -v sudo >/dev/null 2>&1 && sudo -n true 2>/dev/null; then sudo -n "$@"
    else return 1
    fi
}

# Install a system package, or stop with the one line to type.
install_package() { # what it is for; then its name for apt, dnf, apk, pacman, brew
    purpose=$1
    if command -v apt-get >/dev/null 2>&1; then set -- apt-get install -y "$2"
    elif command -v dnf >/dev/null 2>&1; then set -- dnf install -y "$3"
    elif command -v apk >/dev/null 2>&1; then set -- apk add "$4"
    elif command -v pacman >/dev/null 2>&1; then set -- pacman -S --noconfirm "$5"
    elif command -v brew >/dev/null 2>&1; then brew install "$6" >&2 && return 0; stop "$purpose is missing. Type: brew install $6"
    else stop "$purpose is missing, and no package manager that this script knows. Install it, then run this again."
    fi
    say "start.sh: installing $purpose: $*"
    if [ "$1" = apt-get ]; then as_root apt-get update >&2 2>/dev/null || true; fi
    as_root env DEBIAN_FRONTEND=noninteractive "$@" >&2 || stop "$purpose is missing. Type: sudo $*"
}

find_python() {
    for name in python3.13 python3.12 python3.11 python3 python; do
        if "$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
            command -v "$name"; return
        fi
    done
    stop "Python 3.11 or newer is missing. Install it (on Debian: sudo apt-get install python3), then run this again."
}

make_venv() {
    if [ -x "$python" ] && "$python" -m pip --version >/dev/null 2>&1; then return; fi
    base=$(find_python) || exit 1
    # Debian keeps what a virtual environment needs in a package of its own.
    "$base" -c 'import ensurepip' 2>/dev/null ||
        install_package "Python's venv module" python3-venv python3 py3-virtualenv python python
    "$base" -m venv --clear "$venv" || stop "could not make a virtual environment in $venv"
}

see_to_cairo() {
    has_cairo && return
    install_package "the cairo graphics library" libcairo2 cairo cairo cairo cairo
    has_cairo || stop "the cairo graphics library was installed but Python does not find it; see README, \"If something is missing\"."
}

has_cairo() { "$python" -c 'import cairocffi' >/dev/null 2>&1; }

# Only some tests need a browser; they are skipped by name where there is none.
see_to_browser() {
    for name in chromium chromium-browser google-chrome; do
        if command -v "$name" >/dev/null 2>&1; then return; fi
    done
    if command -v apt-get >/dev/null 2>&1; then set -- apt-get install -y chromium
    elif command -v dnf >/dev/null 2>&1; then set -- dnf install -y chromium
    elif command -v apk >/dev/null 2>&1; then set -- apk add chromium
    elif command -v pacman >/dev/null 2>&1; then set -- pacman -S --noconfirm chromium
    else say "start.sh: no Chromium, so the tests in a browser are skipped."; return
    fi
    say "start.sh: installing a browser for the tests: $*"
    if [ "$1" = apt-get ]; then as_root apt-get update >&2 2>/dev/null || true; fi
    as_root env DEBIAN_FRONTEND=noninteractive "$@" >/dev/null 2>&1 ||
        say "start.sh: no Chromium, so the tests in a browser are skipped. To have them, type: sudo $*"
}

install() { # what pip is to install
    "$python" -m pip install --quiet --disable-pip-version-check "$@" || stop "pip could not install canivet; see above."
}

case ${1:-} in
plate)
    design=${2:-$here/gallery/saltmere/heronry.toml}
    folder=${3:-drawings}
    make_venv
    install "$here"
    see_to_cairo
    mkdir -p "$folder"
    exec "$venv/bin/canivet" make "$design" -o "$folder"
    ;;
tests)
    make_venv
    cd "$here"
    # Strict, so that the type checker sees the package by its real names.
    install -e '.[dev]' --config-settings editable_mode=strict
    see_to_cairo
    see_to_browser
    exec sh .ci/check "$python"
    ;;
library)
    see_to_cairo
    ;;
*)
    say "start.sh: say 'sh start.sh plate' to draw a plate, or 'sh start.sh tests' to run every check."
    exit 2
    ;;
esac
