#!/bin/sh
# Build the wheel, install it as a stranger would into an empty environment, and use it away from the checkout.
# What only the checkout has (templates, the handbook, adapters) would be missing here.
set -eu
cd "$(dirname "$0")/.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
.venv/bin/python -m pip --disable-pip-version-check wheel --quiet --no-deps --no-build-isolation --wheel-dir "$work" .
.venv/bin/python -m venv "$work/own"
"$work/own/bin/python" -m pip --disable-pip-version-check --no-input install --quiet \
    --require-hashes -r .ci/locks/run.txt
"$work/own/bin/python" -m pip --disable-pip-version-check --no-input install --quiet --no-deps "$work"/*.whl
shop="$work/Wérkstatt №1 of mine"
cd "$work"
halfsplit="$work/own/bin/halfsplit"
"$halfsplit" --version
"$halfsplit" start "$shop"
"$halfsplit" check "$shop"
"$halfsplit" build "$shop" --strict
"$halfsplit" build "$shop" --to "$work/plain site" --with plain
"$halfsplit" dump "$shop" --to "$work/shop.json"
"$halfsplit" load "$work/shop.json" --to "$work/again"
"$halfsplit" check "$work/again"
"$halfsplit" calc tempo bpm=120BPM pulses_per_quarter=24 >/dev/null
test -s "$shop/site/handbook/safety-on-the-bench.html"
test -s "$work/plain site/index.html"
