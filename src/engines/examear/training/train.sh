#!/bin/sh
# See README.md. usage: train.sh SPEECH_DIR EMBEDDING_DIR OUT_DIR [option of train.py …]
set -e
here=src/engines/examear/training
speech=$1 embedding=$2 out=$3
shift 3
mkdir -p "$out"
npx rolldown $here/texts.ts -o "$out/texts.mjs" --platform node
node "$out/texts.mjs" . 36000 >"$out/texts.jsonl"
cat node_modules/soundswallower/model/en-us/dict.txt grammars/pronunciations.dict | grep -v '^#' >"$out/dict.txt"
python3 $here/corpus.py "$speech" "$out/human.npz"
exec python3 $here/train.py --texts "$out/texts.jsonl" --human "$out/human.npz" --dict "$out/dict.txt" \
  --embedding "$embedding" --out "$out" "$@"
