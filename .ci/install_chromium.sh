#!/bin/sh
# Make sure that a browser is there, which the tests need, and ngspice, which they use when it is.
# Installs only what is missing, with the system's own package manager, and only where that asks no question.
set -u
here=$(dirname "$0")

as_root() {
    if [ "$(id -u)" = 0 ]; then "$@"; else sudo -n "$@"; fi
}

may_install() {
    command -v brew >/dev/null 2>&1 || [ "$(id -u)" = 0 ] || sudo -n true >/dev/null 2>&1
}

refreshed=no
install() { # the package's name is the same everywhere, which is why there is no table here
    if command -v apt-get >/dev/null 2>&1; then
        [ "$refreshed" = yes ] || as_root apt-get update -q
        refreshed=yes
        as_root env DEBIAN_FRONTEND=noninteractive apt-get install -qy --no-install-recommends "$1"
    elif command -v dnf >/dev/null 2>&1; then as_root dnf install -qy "$1"
    elif command -v pacman >/dev/null 2>&1; then as_root pacman -Sy --noconfirm --needed "$1"
    elif command -v apk >/dev/null 2>&1; then as_root apk add -q "$1"
    elif command -v zypper >/dev/null 2>&1; then as_root zypper -nq install "$1"
    elif command -v brew >/dev/null 2>&1; then brew install -q "$1"
    else return 1
    fi
}

if ! sh "$here/find_chromium.sh" >/dev/null 2>&1; then
    if [ -z "${CHROMIUM:-}" ] && may_install; then
        echo "No browser found; installing Chromium." >&2
        install chromium-headless-shell >&2 || install chromium >&2
    fi
    if ! sh "$here/find_chromium.sh" >/dev/null; then
        echo "The tests need Chromium or Chrome: install it, or set CHROMIUM to its command, then run again." >&2
        exit 1
    fi
fi

if ! command -v ngspice >/dev/null 2>&1; then
    may_install && install ngspice >&2
    command -v ngspice >/dev/null 2>&1 || echo "No ngspice: the tests that compare with it will be skipped." >&2
fi
exit 0
