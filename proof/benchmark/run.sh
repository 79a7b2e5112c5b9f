#!/bin/sh
# Measures the judge as a whole process against the same reduction in R, alternating, then the warm kernel.
#   ./tenmesh benchmark [REPEATS] [SOILS...]
# Then, on a day of the first size with a turned tray, against one question of the judge's scripted in R (identity.R), which must name the tray.
# Prints medians and ratios; needs /usr/bin/time. R with data.table (and MASS for the second script) is optional. Nothing here is a test of its own: a loaded
# machine gives other figures. The numbers of both are compared, and a difference ends with status 1.
set -eu
here=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd -P)
home=$(CDPATH='' cd -- "$here/../.." && pwd -P)
repeats=${1:-5}
[ $# -eq 0 ] || shift
[ $# -gt 0 ] || set -- 4000 40000
[ -x /usr/bin/time ] || { echo "needs /usr/bin/time (Debian: apt-get install time)" >&2; exit 2; }
with_r=
if command -v Rscript >/dev/null 2>&1 && Rscript -e 'library(data.table)' >/dev/null 2>&1; then
  with_r=yes
else
  echo "No R with data.table here: only the judge is measured."
fi
work=$(mktemp -d "${TMPDIR:-/tmp}/tenmesh-benchmark.XXXXXX")
trap 'rm -rf "$work"' EXIT INT TERM

# Runs a command, adds "SECONDS KILOBYTES" to a file; status 1 of the judge only says that something is held.
timed() {
  into=$1
  shift
  status=0
  /usr/bin/time -f '%e %M' -o "$work/one" "$@" >"$work/said" 2>&1 || status=$?
  [ "$status" -le 1 ] || { cat "$work/said" >&2; exit "$status"; }
  tail -n 1 "$work/one" >>"$into"
}

median() { # FILE COLUMN
  sort -n -k"$2,$2" "$1" | awk -v c="$2" '{v[NR]=$c} END {print (NR % 2) ? v[(NR + 1) / 2] : (v[NR / 2] + v[NR / 2 + 1]) / 2}'
}

different=0
for soils; do
  day=$work/day-$soils
  "$home/tenmesh" simulate --seed 7 --soils "$soils" --out "$day"
  # Once each, unmeasured: both find the files in the system's cache.
  timed "$work/unmeasured" "$home/tenmesh" judge "$day" --out "$work/judged"
  [ -z "$with_r" ] || timed "$work/unmeasured" Rscript "$here/reduce.R" "$day" "$work/reduced"
  i=0
  while [ "$i" -lt "$repeats" ]; do
    rm -rf "$work/judged" "$work/reduced"
    timed "$work/judge-$soils" "$home/tenmesh" judge "$day" --out "$work/judged"
    [ -z "$with_r" ] || timed "$work/r-$soils" Rscript "$here/reduce.R" "$day" "$work/reduced"
    i=$((i + 1))
  done
  judge_s=$(median "$work/judge-$soils" 1)
  judge_kb=$(median "$work/judge-$soils" 2)
  awk -v n="$soils" -v s="$judge_s" -v k="$judge_kb" \
    'BEGIN {printf "%6d soils  judge      %6.2f s  %5.0f MB\n", n, s, k / 1024}'
  if [ -n "$with_r" ]; then
    r_s=$(median "$work/r-$soils" 1)
    r_kb=$(median "$work/r-$soils" 2)
    awk -v n="$soils" -v s="$r_s" -v k="$r_kb" -v js="$judge_s" -v jk="$judge_kb" \
      'BEGIN {printf "%6d soils  reduce.R   %6.2f s  %5.0f MB  judge / R: time %.2f, memory %.2f\n", n, s, k / 1024, js / s, jk / k}'
    Rscript "$here/compare.R" "$work/judged" "$work/reduced" || different=1
  fi
done

if [ -n "$with_r" ] && Rscript -e 'library(MASS)' >/dev/null 2>&1; then
  soils=$1
  day=$work/day-turned
  "$home/tenmesh" simulate --seed 7 --soils "$soils" --fault tray-turned --out "$day"
  tray=$(sed -n 's/.*"tray \(T[0-9]*\) was read end for end.*/\1/p' "$day/truth.csv")
  i=0
  while [ "$i" -lt "$repeats" ]; do
    rm -rf "$work/judged"
    timed "$work/judge-turned" "$home/tenmesh" judge "$day" --out "$work/judged"
    grep -q "^tray-turned@$tray#" "$work/judged/causes.csv" || { echo "the judge does not name tray $tray" >&2; different=1; }
    status=0
    /usr/bin/time -f '%e %M' -o "$work/one" Rscript "$here/identity.R" "$day" "$work/judged" "$tray" >"$work/said" 2>&1 || status=$?
    [ "$status" -eq 0 ] || { cat "$work/said" >&2; different=1; }
    tail -n 1 "$work/one" >>"$work/identity"
    i=$((i + 1))
  done
  awk -v n="$soils" -v s="$(median "$work/judge-turned" 1)" -v r="$(median "$work/identity" 1)" -v said="$(tail -n 1 "$work/said")" \
    'BEGIN {printf "%6d soils  identity.R %6.2f s, its one question (%s)  judge with everything: %.2f s, %.1f times as fast\n", n, r, said, s, r / s}'
fi
lib=$home/app/target/tenmesh/lib
if [ "${TENMESH_KERNEL:-yes}" = yes ]; then
  (cd "$home" && sh ./mvnw -q -B -o -pl proof -am test-compile -Dmaven.test.skip=false -DskipTests) >"$work/build" 2>&1 ||
    (cd "$home" && sh ./mvnw -q -B -pl proof -am test-compile -DskipTests) >"$work/build" 2>&1 || { cat "$work/build"; exit 1; }
  path=$home/proof/target/classes
  for module in core exchange simulator; do
    path=$path:$home/$module/target/classes
  done
  for jar in "$lib"/hipparchus-*.jar "$lib"/fastcsv-*.jar "$lib"/snakeyaml-engine-*.jar "$lib"/jspecify-*.jar \
    "$home"/proof/target/benchmark-lib/*.jar; do
    path=$path:$jar
  done
  "${JAVA_HOME:+$JAVA_HOME/bin/}java" -cp "$path" org.tenmesh.proof.benchmark.KernelSpeed
fi
exit "$different"
