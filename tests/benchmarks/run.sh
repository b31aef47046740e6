# Measures the tracker and its peer, OpenCV's pyramidal Lucas-Kanade, on clips of known truth and prints one table.
# usage: bash tests/benchmarks/run.sh [--seeds 11,12] [--rates 60,120] [--clips stk60,skn60] [--no-clips] [--moving] [--key-every SECONDS]
#        [--noise STRENGTH] [--starts COUNT] [--record]
#        bash tests/benchmarks/run.sh --web        the tracker as WASM in Node: milliseconds and heap at 720p and 1080p, against OpenCV native
#        bash tests/benchmarks/run.sh --camera [--seeds 531] [--noise STRENGTH]   errors of the estimated camera motion
#        bash tests/benchmarks/run.sh --blur [--seeds 641,642]   errors of the blur that is measured before the marking
#        bash tests/benchmarks/run.sh --fixtures   compares the kept numbers of OpenCV with those of this machine
# Needs ffmpeg and Python 3; without the packages of requirements.txt it says so and measures nothing. --record writes the
# table into tests/MEASUREMENTS.md.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
target=${CARGO_TARGET_DIR:-$PWD/target}
venv=$target/benchmarks/venv
mkdir -p "$target/benchmarks"
if ! cmp -s tests/benchmarks/requirements.txt "$venv/made-of.txt"; then
  if ! { python3 -m venv "$venv" && "$venv/bin/pip" install --quiet --disable-pip-version-check --requirement tests/benchmarks/requirements.txt; } 2>"$target/benchmarks/log.txt"; then
    printf 'NOT RUN: no Python with the packages of tests/benchmarks/requirements.txt can be installed here: %s\n' "$(tail -1 "$target/benchmarks/log.txt")"
    exit 0
  fi
  cp tests/benchmarks/requirements.txt "$venv/made-of.txt"
fi
python=$venv/bin/python
export PYTHONDONTWRITEBYTECODE=1
case ${1:-} in
--fixtures)
  "$python" -W ignore tracking/tests/opencv/fixtures.py
  ;;
--camera)
  cargo build --quiet --release --package tracking --examples
  cargo build --quiet --package demo-clips
  shift
  "$python" tests/benchmarks/camera.py --target "$target" "$@"
  ;;
--blur)
  cargo build --quiet --release --package tracking --examples
  cargo build --quiet --package demo-clips
  shift
  "$python" tests/benchmarks/blur.py --target "$target" "$@"
  ;;
--web)
  command -v node >/dev/null || { printf 'NOT RUN: there is no Node here\n'; exit 0; }
  script=$(cargo run --quiet --package site -- follower)
  shift
  "$python" tests/benchmarks/wasm.py --target "$target" --script "$script" "$@"
  ;;
*)
  cargo build --quiet --release --package tracking --examples
  # The generator needs optimisation, which the development profile gives it.
  cargo build --quiet --package demo-clips
  "$python" tests/benchmarks/measure.py --target "$target" "$@"
  "$python" -W ignore tracking/tests/opencv/fixtures.py
  ;;
esac
