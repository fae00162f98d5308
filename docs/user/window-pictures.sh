#!/bin/sh
# Draws the pictures of docs/user/window.md anew: the four questions on the demo, in a display of their own.
# sh docs/user/window-pictures.sh BUILD_FOLDER
set -eu
root=$(cd "$(dirname "$0")/../.." && pwd)
build=${1:-$root/build/dev}
RAKELIGHT_WINDOW_PICTURES=$root/docs/user LIBGL_ALWAYS_SOFTWARE=1 LP_NATIVE_VECTOR_WIDTH=128 \
  xvfb-run -a -s "-screen 0 1600x1200x24" "$build/window_tests" "[.pictures]"
