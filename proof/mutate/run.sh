#!/bin/sh
# Makes mistakes in days, one a day, judges them and counts what was said of each.
#   ./tenmesh mutate [--count 1000] [--seed 1] [--soils 60] [--only REGEX] [--failing FILE] [--repeat FILE] [--out FILE]
# The same seed makes the same mistakes. proof/mutate/README.md says what the words of the tables mean.
set -eu
here=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd -P)
home=$(CDPATH='' cd -- "$here/../.." && pwd -P)
log=$(mktemp "${TMPDIR:-/tmp}/tenmesh-mutate.XXXXXX")
trap 'rm -f "$log"' EXIT INT TERM

(cd "$home" && sh ./mvnw -q -B -o -pl proof -am compile) >"$log" 2>&1 ||
  (cd "$home" && sh ./mvnw -q -B -pl proof -am compile) >"$log" 2>&1 || { cat "$log" >&2; exit 2; }
path=$home/proof/target/classes
for module in core exchange store print simulator web app; do
  path=$path:$home/$module/target/classes
done
for jar in "$home"/app/target/tenmesh/lib/*.jar; do
  case ${jar##*/} in
    tenmesh-*) ;;
    *) path=$path:$jar ;;
  esac
done
progress=
[ ! -t 2 ] || progress="--progress yes"
# shellcheck disable=SC2086 # two words
"${JAVA_HOME:+$JAVA_HOME/bin/}java" -XX:+UseSerialGC -Xmx2g -cp "$path" org.tenmesh.proof.mutate.MutateDays \
  --example "$home/examples/real-soils" $progress "$@"
