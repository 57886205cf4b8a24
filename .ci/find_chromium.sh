#!/bin/sh
# Print the command of a Chromium that starts; print nothing and fail when there is none.
# Each one is asked for its version, because some systems ship a command that only advertises a package.
set -u
try() {
    command -v "$1" >/dev/null 2>&1 && "$1" --version >/dev/null 2>&1 && command -v "$1" && exit 0
}
if [ -n "${CHROMIUM:-}" ]; then
    try "$CHROMIUM"
    echo "CHROMIUM is set to '$CHROMIUM', which does not start." >&2
    exit 1
fi
# The first has no window to draw, not even in memory, and took a third of the time over our pages.
for name in chromium-headless-shell chromium chromium-browser google-chrome-stable google-chrome chrome microsoft-edge \
    "/Applications/Chromium.app/Contents/MacOS/Chromium" \
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome"; do
    try "$name"
done
exit 1
