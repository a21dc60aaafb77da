#!/usr/bin/env bash
# All that the tests need: the package with its test tools in .venv-test, and a Chromium for the pages.
set -euo pipefail
cd "$(dirname "$0")/.."
python3 -m venv .venv-test
.venv-test/bin/pip install --quiet --editable ".[test]"

for name in chromium chromium-browser google-chrome google-chrome-stable chrome; do
    if command -v "$name" > /dev/null; then exit 0; fi
done

by_hand="install the package chromium by hand (or any Chrome), see that it is on the PATH, then run tests/prepare.sh again"
as_root=()
if [ "$(id -u)" != 0 ]; then as_root=(sudo -n); fi
if ! command -v apt-get > /dev/null || ! { [ "$(id -u)" = 0 ] || sudo -n true 2> /dev/null; }; then
    echo "the tests of the pages need Chromium or Chrome on the PATH, and it cannot be installed from here: $by_hand" >&2
    exit 1
fi

# a mirror that hiccups or another apt at work is no reason to give up: three goes, each waiting for the lock
apt=("${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get -o DPkg::Lock::Timeout=120 -o Acquire::Retries=2)
said=$(mktemp)
trap 'rm -f "$said"' EXIT
for pause in 5 15 0; do
    if "${apt[@]}" update -qq > "$said" 2>&1 && "${apt[@]}" install -y -qq --no-install-recommends chromium >> "$said" 2>&1; then
        exit 0
    fi
    sleep "$pause"
done
echo "Chromium could not be installed in three goes; apt-get said:" >&2
tail -n 15 "$said" >&2
echo "the tests of the pages need it: $by_hand" >&2
exit 1
