#!/bin/sh
# Says which sources are not laid out as .clang-format asks; changes nothing.
# Usage: check_format.sh SOURCE_DIR
set -eu
cd "$1"
find src include tests components -name '*.[ch]' -print0 | xargs -0 clang-format --dry-run --Werror
