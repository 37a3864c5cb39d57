#!/bin/sh
# See README.md. usage: [PROCESSES=4] [NEURAL=DIR [READERS=48] [NEURAL_OPTIONS=…]] train.sh SPEECH_DIR EMBEDDING_DIR OUT_DIR [option of train.py …]
set -e
here=src/engines/examear/training
python=${PYTHON:-python3}
speech=$1 embedding=$2 out=$3
shift 3
mkdir -p "$out"
npx rolldown $here/texts.ts -o "$out/texts.mjs" --platform node
node "$out/texts.mjs" . 140000 36000 >"$out/texts.jsonl"
cat node_modules/soundswallower/model/en-us/dict.txt grammars/en/pronunciations.dict | grep -v '^#' >"$out/dict.txt"
prompts=/usr/share/asterisk/sounds
[ -d $prompts ] && prompts="--prompts $prompts" || prompts=
$python $here/corpus.py "$speech" "$out/human.npz" $prompts
set -- --texts "$out/texts.jsonl" --human "$out/human.npz" --dict "$out/dict.txt" --embedding "$embedding" --out "$out" "$@"
if [ -n "$NEURAL" ]; then
  # Several side by side: one alone leaves an accelerator idle.
  readers=${READERS:-4}
  for part in $(seq 0 $((readers - 1))); do
    CUDA_VISIBLE_DEVICES=$((part % ${PROCESSES:-1})) \
      $python $here/neural.py "$out/texts.jsonl" "$NEURAL" "$out/neural-$part.npz" --part "$part/$readers" $NEURAL_OPTIONS &
  done
  wait
  set -- "$@" --spoken "$out"/neural-*.npz
fi
[ "${PROCESSES:-1}" -eq 1 ] && exec $python $here/train.py "$@"
# One process an accelerator; the voices are read once, for all of them.
$python $here/train.py "$@" --cache "$out/cache.npz" --render
export WORLD_SIZE="$PROCESSES" MASTER_ADDR=127.0.0.1 MASTER_PORT="${MASTER_PORT:-29500}"
for rank in $(seq 1 $((PROCESSES - 1))); do
  RANK=$rank LOCAL_RANK=$rank $python $here/train.py "$@" --cache "$out/cache.npz" &
done
RANK=0 LOCAL_RANK=0 $python $here/train.py "$@" --cache "$out/cache.npz"
wait
