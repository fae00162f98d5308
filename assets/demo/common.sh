# Shared by assets/demo/run.sh and tests/run.sh (POSIX sh): install what is missing, stop at the first failure with
# a plain reason. `root` is the top of the checkout.

say() { printf '\n== %s\n' "$*"; }
stop() { printf '\nStopped: %s\n' "$*" >&2; exit 1; }

# install_packages PART...  installs the packages of docs/packages.txt marked with any of the parts
install_packages() {
  command -v dpkg-query >/dev/null 2>&1 || stop "this needs Debian 12 (dpkg is not here); install what docs/packages.txt lists and build with CMake"
  missing=""
  for part in "$@"; do
    while read -r kind package rest; do
      [ "$kind" = "$part" ] || continue
      state=$(dpkg-query -W -f '${Status}' "$package" 2>/dev/null || true)
      [ "$state" = "install ok installed" ] || missing="$missing $package"
    done < "$root/docs/packages.txt"
  done
  if [ -z "$missing" ]; then
    say "All packages are installed"
    return
  fi
  say "Installing:$missing"
  as_root=""
  if [ "$(id -u)" -ne 0 ]; then
    command -v sudo >/dev/null 2>&1 || stop "packages are missing and neither root nor sudo is here; as root: apt-get install$missing"
    as_root="sudo"
  fi
  $as_root apt-get update || stop "apt-get update failed (network?)"
  # shellcheck disable=SC2086  # the list is meant to split
  $as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends $missing || stop "apt-get could not install:$missing"
}
