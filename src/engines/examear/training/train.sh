#!/bin/sh
# See README.md. usage: train.sh SPEECH_DIR EMBEDDING_DIR OUT_DIR [option of train.py …]
set -e
here=src/engines/examear/training
speech=$1 embedding=$2 out=$3
shift 3
mkdir -p "$out/heard"
npx rolldown $here/texts.ts -o "$out/texts.mjs" --platform node
node "$out/texts.mjs" . 48000 >"$out/texts.jsonl"
cat node_modules/soundswallower/model/en-us/dict.txt grammars/en/pronunciations.dict | grep -v '^#' >"$out/dict.txt"
if command -v pocketsphinx_continuous >/dev/null; then
  for file in "$speech"/conversation-train/*.flac; do
    name=$(basename "$file" .flac)
    [ -s "$out/heard/$name.txt" ] && continue
    sox "$file" -r 16000 -c 1 -b 16 "$out/heard/$name.wav"
    pocketsphinx_continuous -infile "$out/heard/$name.wav" -time yes -logfn /dev/null >"$out/heard/$name.txt"
  done
fi
prompts=/usr/share/asterisk/sounds
[ -d $prompts ] && prompts="--prompts $prompts" || prompts=
python3 $here/corpus.py "$speech" "$out/human.npz" --transcripts "$out/heard" $prompts
exec python3 $here/train.py --texts "$out/texts.jsonl" --human "$out/human.npz" --dict "$out/dict.txt" \
  --embedding "$embedding" --out "$out" "$@"
