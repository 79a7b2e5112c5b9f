# Sourced by the commands of this module: builds it and sets `path`, the class path of all modules and their libraries. Needs `home`.
log=$(mktemp "${TMPDIR:-/tmp}/tenmesh-proof.XXXXXX")
trap 'rm -f "$log"' EXIT INT TERM
(cd "$home" && sh ./mvnw -q -B -o -pl proof -am compile) >"$log" 2>&1 ||
  (cd "$home" && sh ./mvnw -q -B -pl proof -am compile) >"$log" 2>&1 || { cat "$log" >&2; exit 2; }
path=$home/proof/target/classes
for module in core exchange store print simulator capture web app; do
  path=$path:$home/$module/target/classes
done
for jar in "$home"/app/target/tenmesh/lib/*.jar; do
  case ${jar##*/} in
    tenmesh-*) ;;
    *) path=$path:$jar ;;
  esac
done
