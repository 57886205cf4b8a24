#!/bin/sh
# Print a Python that can run halfsplit, or say what is missing.
# Versions the lock files were tried with come first; every hit on the path is started once,
# because a version manager may leave a command there that only prints a complaint.
set -u
good='import sys, venv, ensurepip; sys.exit(sys.version_info < (3, 11))'
IFS=:
for name in python3.13 python3.12 python3.11 python3.14 python3 python; do
    for folder in $PATH; do
        candidate="${folder:-.}/$name"
        if [ -x "$candidate" ] && "$candidate" -c "$good" >/dev/null 2>&1; then
            printf '%s\n' "$candidate"
            exit 0
        fi
    done
done
echo "No Python 3.11 or newer with its venv and ensurepip modules was found on the path." >&2
echo "Install one (on Debian or Ubuntu: apt-get install python3 python3-venv), or name it: make PYTHON=..." >&2
exit 1
