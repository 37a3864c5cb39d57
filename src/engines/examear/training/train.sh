#!/bin/sh
# See README.md. usage: [PROCESSES=4] train.sh SPEECH_DIR EMBEDDING_DIR OUT_DIR [option of train.py …]
set -e
here=src/engines/examear/training
python=${PYTHON:-python3}
speech=$1 embedding=$2 out=$3
shift 3
mkdir -p "$out/heard"
npx rolldown $here/texts.ts -o "$out/texts.mjs" --platform node
node "$out/texts.mjs" . 128000 >"$out/texts.jsonl"
cat node_modules/soundswallower/model/en-us/dict.txt grammars/en/pronunciations.dict | grep -v '^#' >"$out/dict.txt"
if command -v pocketsphinx_continuous >/dev/null; then
  # A file of its own name is whole: what was interrupted is heard again.
  find "$speech/conversation-train" -name '*.flac' | xargs -P "$(nproc)" -I{} sh -ec '
    name=$2/$(basename "$1" .flac)
    [ -e "$name.txt" ] && exit
    sox "$1" -r 16000 -c 1 -b 16 "$name.wav"
    pocketsphinx_continuous -infile "$name.wav" -time yes -logfn /dev/null >"$name.part"
    rm "$name.wav"
    mv "$name.part" "$name.txt"' sh {} "$out/heard"
fi
prompts=/usr/share/asterisk/sounds
[ -d $prompts ] && prompts="--prompts $prompts" || prompts=
$python $here/corpus.py "$speech" "$out/human.npz" --transcripts "$out/heard" $prompts
set -- --texts "$out/texts.jsonl" --human "$out/human.npz" --dict "$out/dict.txt" --embedding "$embedding" --out "$out" "$@"
[ "${PROCESSES:-1}" -eq 1 ] && exec $python $here/train.py "$@"
# One process an accelerator; the voices are read once, for all of them.
$python $here/train.py "$@" --cache "$out/cache.npz" --render
export WORLD_SIZE="$PROCESSES" MASTER_ADDR=127.0.0.1 MASTER_PORT="${MASTER_PORT:-29500}"
for rank in $(seq 1 $((PROCESSES - 1))); do
  RANK=$rank LOCAL_RANK=$rank $python $here/train.py "$@" --cache "$out/cache.npz" &
done
RANK=0 LOCAL_RANK=0 $python $here/train.py "$@" --cache "$out/cache.npz"
wait
