#!/usr/bin/env bash
# All that the tests need: the package with its test tools in .venv-test, and a Chromium for the pages.
set -euo pipefail
cd "$(dirname "$0")/.."
python3 -m venv .venv-test
.venv-test/bin/pip install --quiet --editable ".[test]"

for name in chromium chromium-browser google-chrome google-chrome-stable chrome; do
    if command -v "$name" > /dev/null; then exit 0; fi
done
as_root=()
if [ "$(id -u)" != 0 ]; then as_root=(sudo -n); fi
if command -v apt-get > /dev/null && { [ "$(id -u)" = 0 ] || sudo -n true 2> /dev/null; }; then
    "${as_root[@]}" apt-get update -qq
    "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends chromium > /dev/null
else
    echo "the tests of the pages need Chromium or Chrome on the PATH: install the package chromium, then run this again" >&2
    exit 1
fi
