#!/bin/sh
# Judges clean days of every method in laboratories that know their control soils from 10, 20 and 60 earlier runs, and prints how many
# causes are false and how often the stated uncertainty covers the truth.
#   ./tenmesh coverage [--days 20] [--soils 2000] [--known 10,20,60] [--seed 1]
set -eu
here=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd -P)
home=$(CDPATH='' cd -- "$here/../.." && pwd -P)
log=$(mktemp "${TMPDIR:-/tmp}/tenmesh-coverage.XXXXXX")
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
"${JAVA_HOME:+$JAVA_HOME/bin/}java" -Xmx2g -cp "$path" org.tenmesh.proof.coverage.CleanDayStudy "$@"
