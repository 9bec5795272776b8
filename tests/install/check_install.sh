#!/bin/sh
# Installs the build into a fresh prefix and tries what is there.
# Usage: check_install.sh BUILD_DIR
set -eu
here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cmake --install "$1" --prefix "$work/prefix" >/dev/null
"$here/check_examples.sh" "$work/prefix"
