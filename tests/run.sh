#!/bin/sh
# Installs what is missing, builds everything and runs all tests but the long ones. Debian 12, as root or with sudo.
# Long ones: sh tests/run.sh long
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
. "$root/assets/demo/common.sh"
cd "$root"

install_packages run test
say "Building (build/tests)"
mkdir -p build
cmake --preset tests > build/configure.log 2>&1 || { cat build/configure.log; stop "CMake could not configure the build"; }
cmake --build --preset tests || stop "the build failed"

say "Testing"
if [ "${1:-}" = long ]; then
  ctest --test-dir build/tests --output-on-failure -L long
else
  ctest --test-dir build/tests --output-on-failure -LE long -j "$(nproc)"
fi
