#!/bin/sh
# Installs the build into a fresh prefix, builds the example against it with pkg-config (shared and static) and with
# CMake, and runs all three and the installed program.
# Usage: check_install.sh BUILD_DIR
set -eu
here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
prefix=$work/prefix
cmake --install "$1" --prefix "$prefix" >/dev/null
libdir=$(dirname "$(find "$prefix" -name libpoise.so)")
# The build was configured for another prefix: the file says where it really is.
export PKG_CONFIG_PATH="$libdir/pkgconfig" LD_LIBRARY_PATH="$libdir"
flags="--define-variable=prefix=$prefix --define-variable=libdir=$libdir --define-variable=includedir=$prefix/include"
# shellcheck disable=SC2086,SC2046 # lists of words
cc -std=c17 -Wall -Werror "$here/weigh_demo.c" $(pkg-config $flags --cflags --libs poise) -o "$work/shared"
# shellcheck disable=SC2086,SC2046
cc -std=c17 -Wall -Werror "$here/weigh_demo.c" $(pkg-config $flags --cflags poise) "$libdir/libpoise.a" \
    $(pkg-config $flags --static --libs poise | sed 's/-lpoise//') -o "$work/static"
cmake -S "$here" -B "$work/cmake" -DCMAKE_PREFIX_PATH="$prefix" >/dev/null
cmake --build "$work/cmake" >/dev/null
demo=$prefix/share/poise/components/instruments/linnet/linnet.json
export POISE_COMPONENTS="$prefix/share/poise/components"
expected=$("$work/shared" "$demo")
echo "$expected"
[ "$expected" = "$("$work/cmake/weigh_demo" "$demo")" ]
[ "$expected" = "$("$work/static" "$demo")" ]
unset POISE_COMPONENTS
"$prefix/bin/poise" weigh "$demo" >/dev/null
# Nothing but poise_ and POISE_ names leaves the shared library.
strangers=$(nm -D --defined-only "$libdir/libpoise.so" | awk '{print $3}' | grep -v '^poise_' || true)
[ -z "$strangers" ] || { echo "exported by the library: $strangers"; exit 1; }
