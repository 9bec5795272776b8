#!/bin/sh
# Builds the example against what is installed under a prefix, with pkg-config (shared and static) and with CMake, and
# runs all three and the installed program.
# Usage: check_examples.sh PREFIX
set -eu
here=$(cd "$(dirname "$0")" && pwd)
prefix=$1
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
libdir=$(dirname "$(find "$prefix" -name libpoise.so)")
export PKG_CONFIG_PATH="$libdir/pkgconfig" LD_LIBRARY_PATH="$libdir" XDG_DATA_DIRS="$prefix/share"
unset POISE_COMPONENTS
# shellcheck disable=SC2046 # lists of words
cc -std=c17 -Wall -Werror "$here/weigh_demo.c" $(pkg-config --cflags --libs poise) -o "$work/shared"
# shellcheck disable=SC2046
cc -std=c17 -Wall -Werror "$here/weigh_demo.c" $(pkg-config --cflags poise) "$libdir/libpoise.a" \
    $(pkg-config --static --libs poise | sed 's/-lpoise//') -o "$work/static"
cmake -S "$here" -B "$work/cmake" -DCMAKE_PREFIX_PATH="$prefix" >/dev/null
cmake --build "$work/cmake" >/dev/null
demo=$prefix/share/poise/components/instruments/linnet/linnet.json
expected=$("$work/shared" "$demo")
echo "$expected"
[ "$expected" = "$("$work/cmake/weigh_demo" "$demo")" ]
[ "$expected" = "$("$work/static" "$demo")" ]
"$prefix/bin/poise" weigh "$demo" >/dev/null
# Nothing but poise_ and POISE_ names leaves the shared library.
strangers=$(nm -D --defined-only "$libdir/libpoise.so" | awk '{print $3}' | grep -v '^poise_' || true)
[ -z "$strangers" ] || { echo "exported by the library: $strangers"; exit 1; }
