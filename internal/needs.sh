#!/bin/sh
# Names the tools of the system that some tests use, and installs them where that can be done without asking:
# on a build machine (CI=true) with apt-get. Elsewhere it only says what is missing.
set -u
missing=""
need() { command -v "$1" >/dev/null 2>&1 || missing="$missing $2"; }
need chromium chromium
need pdftoppm poppler-utils
need zbarimg zbar-tools
need ZXingReader zxing-cpp-tools
need npm npm
need cbc coinor-cbc
# The checks that run on Node bring their packages by npm, each folder from its own lock file.
packages() {
	command -v npm >/dev/null 2>&1 || return 0
	for lock in internal/*/package-lock.json; do
		[ -f "$lock" ] || continue
		dir=$(dirname "$lock")
		[ -d "$dir/node_modules" ] || npm ci --prefix "$dir" --silent --no-audit --no-fund || return 1
	done
}
if [ -z "$missing" ]; then
	[ "${CI:-}" = true ] || exit 0
	packages
	exit $?
fi
if [ "${CI:-}" = true ] && command -v apt-get >/dev/null 2>&1; then
	apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq $missing >/dev/null && packages
	exit $?
fi
echo "Some tests will be skipped; they need these packages:$missing"
echo "  apt-get install$missing"
