#!/bin/sh
# Makes mistakes in days, one a day, judges them and counts what was said of each.
#   ./tenmesh mutate [--count 1000] [--seed 1] [--soils 60] [--only REGEX] [--failing FILE] [--repeat FILE] [--out FILE]
# The same seed makes the same mistakes. proof/mutate/README.md says what the words of the tables mean.
set -eu
here=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd -P)
home=$(CDPATH='' cd -- "$here/../.." && pwd -P)
# shellcheck source=../classpath.sh
. "$home/proof/classpath.sh"
progress=
[ ! -t 2 ] || progress="--progress yes"
# shellcheck disable=SC2086 # two words
"${JAVA_HOME:+$JAVA_HOME/bin/}java" -XX:+UseSerialGC -Xmx2g -cp "$path" org.tenmesh.proof.mutate.MutateDays \
  --example "$home/examples/real-soils" $progress "$@"
