#!/bin/sh
# Plants faults into invented days, judges them and writes what was found to docs/validation.
#   ./tenmesh power [--repeats 200] [--only NAME] [--soils 1000] [--seed N] [--tables DIR] [--out DIR]
# --only takes a regular expression for "PART: NAME" and writes no report unless --out is given. --tables is a folder with further
# open tables of real soils (proof/power/README.md). The same seed gives the same report.
set -eu
here=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd -P)
home=$(CDPATH='' cd -- "$here/../.." && pwd -P)
# shellcheck source=../classpath.sh
. "$home/proof/classpath.sh"

# The report carries the date of the sources it was made from, so that making it again changes nothing.
version=$(sed -n 's/.*<version>\([^<]*\)<\/version>.*/\1/p' "$home/pom.xml" | head -n 1)
date=$(cd "$home" && git log -1 --format=%cs 2>/dev/null) || date=
commit=$(cd "$home" && git log -1 --format=%h 2>/dev/null) || commit=
progress=no
[ ! -t 2 ] || progress=yes
out=
case " $* " in
  *" --only "* | *" --out "*) ;;
  *) out=$home/docs/validation ;;
esac
"${JAVA_HOME:+$JAVA_HOME/bin/}java" -XX:+UseParallelGC -Xmx2g -cp "$path" org.tenmesh.proof.power.PowerStudy \
  --program "$version${commit:+, commit $commit}" --date "${date:-undated}" --progress "$progress" \
  --shipped-tables "$home/examples/real-soils/tables" ${out:+--out "$out"} "$@"
