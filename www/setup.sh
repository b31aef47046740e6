# Sets up what the two commands need; they source it. Installs missing Debian packages if apt is available,
# else says in one line what to install.

say() { printf '%s\n' "$*" >&2; }

need_cargo() {
  command -v cargo >/dev/null || { say "Missing: Rust (cargo). Install it, then run this again."; exit 1; }
}

# need_packages WHAT_FOR PACKAGE...
need_packages() {
  local purpose=$1 as_root=()
  shift
  if ! command -v apt-get >/dev/null; then
    say "Missing for $purpose: $*. Install them with your system's package manager, then run this again."
    exit 1
  fi
  if [ "$(id -u)" -ne 0 ]; then
    command -v sudo >/dev/null || { say "Missing for $purpose: run 'apt-get install $*' as root, then run this again."; exit 1; }
    as_root=(sudo)
  fi
  say "Installing for $purpose: $*"
  "${as_root[@]}" apt-get update -qq
  DEBIAN_FRONTEND=noninteractive "${as_root[@]}" apt-get install -y -qq --no-install-recommends "$@" >/dev/null
}

# The standard library for WASM: that of the toolchain if it has one, else Debian's sources.
need_web_rust() {
  local libraries
  libraries=$(rustc --print target-libdir --target wasm32-unknown-unknown)
  if [ -n "$(ls "$libraries"/libstd-*.rlib 2>/dev/null)" ]; then
    return
  fi
  if ! dpkg -s rustc-web cargo-web rust-web-src >/dev/null 2>&1; then
    need_packages "compiling to WASM" rustc-web cargo-web rust-web-src
  fi
}
