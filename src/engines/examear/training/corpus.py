"""Packs human recordings into one file: clips at 16 kHz with words, speaker and part, and what is told of both.

    python3 corpus.py SPEECH_DIR OUT.npz [--prompts DIR]

SPEECH_DIR holds MANIFEST.tsv and the folders words-train, digits-8khz, conversation-train and, for
the names of people to leave out, words and conversation. What is read in conversation-train `readings.tsv` tells.
DIR of prompts: Debian's asterisk-core-sounds-en-wav (digits, letters). Sex and accent are of `speakers.tsv`, which has them where
the corpora tell; nobody's are guessed.
"""

import csv
import hashlib
import json
import re
import sys
from pathlib import Path

import numpy as np
import soundfile
from scipy.signal import resample_poly


RATE = 16_000
SURE = 2.0  # nats a phone of what was read, as `readings.tsv` has them
PROMPTS = {"speaker": "prompt", "source": "asterisk-core-sounds-en-wav, by Allison Smith", "licence": "CC BY-SA 3.0"}


def table(path: Path) -> list[dict[str, str]]:
    with open(path) as f:
        return list(csv.DictReader(f, delimiter="\t"))


def read(path: Path) -> np.ndarray:
    x, rate = soundfile.read(path, dtype="float32")
    if x.ndim > 1:
        x = x[:, 0]
    if rate != RATE:
        x = resample_poly(x, RATE, rate)
    top = np.abs(x).max()
    return x / top * 0.7 if top > 0 else x


def trimmed(x: np.ndarray, margin: float = 0.08) -> np.ndarray:
    """Without the silence around the word, told by its level."""
    frame = RATE // 50
    level = np.array([np.sqrt((x[i : i + frame] ** 2).mean() + 1e-9) for i in range(0, len(x) - frame, frame)])
    if len(level) == 0:
        return x
    floor, top = np.percentile(level, 15), level.max()
    loud = np.nonzero(level > floor * 1.8 + 0.06 * (top - floor))[0]
    if len(loud) == 0:
        return x
    pad = int(margin * RATE)
    return x[max(0, loud[0] * frame - pad) : (loud[-1] + 1) * frame + pad]


def kept_for_checking(speaker: str) -> bool:
    return hashlib.sha256(speaker.encode()).digest()[0] < 26  # about one speaker in ten


def main() -> None:
    args = sys.argv[1:]
    speech, out = Path(args[0]), args[1]
    option = lambda name: Path(args[args.index(name) + 1]) if name in args else None
    rows = table(speech / "MANIFEST.tsv")
    told = {r["speaker"]: r for r in table(Path(__file__).with_name("speakers.tsv"))}
    tested = {r["speaker"] for r in rows if r["path"].split("/")[0] in ("words", "conversation")}
    clips, meta, left_out, heard = [], [], 0, {}
    for piece in table(Path(__file__).with_name("readings.tsv")):
        heard.setdefault(piece["number"], []).append(piece)

    def add(sound, words, row, source):
        speaker = row["speaker"]
        clips.append(np.round(np.clip(sound, -1, 1) * 32767).astype(np.int16))
        about = {key: told.get(speaker, {}).get(key, "") for key in ("sex", "accent")}
        meta.append({"words": words, "speaker": speaker, "source": source, "dev": kept_for_checking(speaker), "n": len(sound),
                     "corpus": row["source"], "licence": row["licence"], **about})  # fmt: skip

    for r in rows:
        folder = r["path"].split("/")[0]
        if folder not in ("words-train", "digits-8khz", "conversation-train"):
            continue
        if r["speaker"] in tested:
            left_out += 1
            continue
        sound = read(speech / r["path"])
        if folder == "conversation-train":
            add(sound, [], r, "talk")
            for piece in heard.get(Path(r["path"]).stem, []):
                # What was heard less surely is for the training to judge.
                source = "reading" if float(piece["cost"]) < SURE else "doubtful"
                start, end = (int(float(piece[at]) * RATE) for at in ("start", "end"))
                add(sound[start:end], piece["words"].split(), r, source)
        else:
            word = {"0": "zero"}.get(r["transcript"], r["transcript"]).lower()
            source = "word" if folder == "words-train" else "digit"
            add(trimmed(sound), [word], r, source)
    prompts = option("--prompts")
    if prompts:
        for file in sorted(prompts.rglob("*.wav")):
            word = prompt_word(file.parent.name, file.stem)
            if word:
                add(trimmed(read(file)), [word], PROMPTS, "prompt")
    np.savez_compressed(out, sound=np.concatenate(clips), meta=np.frombuffer(json.dumps(meta).encode(), np.uint8))
    hours = lambda s, d: sum(m["n"] for m in meta if m["source"] == s and m["dev"] == d) / RATE / 60
    for source in sorted({m["source"] for m in meta}):
        n = sum(m["source"] == source for m in meta)
        print(f"{source}: {n} clips, {hours(source, False):.1f} min to train on, {hours(source, True):.1f} min to check")
    print(f"left out, their speakers being in the test: {left_out}")


UNITS = "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen".split()
UNITS += "seventeen eighteen nineteen twenty".split()
TENS = dict(zip("30 40 50 60 70 80 90".split(), "thirty forty fifty sixty seventy eighty ninety".split()))
ORDINALS = "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth fourteenth".split()
ORDINALS += "fifteenth sixteenth seventeenth eighteenth nineteenth twentieth".split()
DAYS = "sunday monday tuesday wednesday thursday friday saturday".split()
MONTHS = "january february march april may june july august september october november december".split()
ALPHABET = "alpha bravo charlie delta echo foxtrot golf hotel india juliet kilo lima mike november oscar papa quebec romeo".split()
ALPHABET += "sierra tango uniform victor whiskey x-ray yankee zulu".split()


def prompt_word(folder: str, stem: str) -> str | None:
    """What a telephone prompt of this name says, where it says one word."""
    kind, _, n = stem.partition("-")
    if folder == "digits":
        if stem.isdigit():
            return UNITS[int(stem)] if int(stem) <= 20 else TENS.get(stem)
        if kind in ("day", "mon"):
            return (DAYS if kind == "day" else MONTHS)[int(n)]
        if kind == "h":
            return ORDINALS[int(n) - 1] if n.isdigit() and int(n) <= 20 else None
        return stem if stem in "at billion dollars hundred million minus pound star thousand today tomorrow yesterday".split() else None
    if folder == "letters":
        if re.fullmatch("[a-y]", stem):
            return stem
        return stem if stem in "asterisk at dash dollar dot equals plus slash space".split() else None
    if folder == "phonetic" and stem[0].isalpha():
        return ALPHABET[ord(stem[0]) - ord("a")]
    alone = "activated added calling cancelled disabled enabled extension goodbye hello hours invalid is location lowercase minute minutes "
    alone += "number removed second seconds sorry time transfer uppercase with your"
    return stem if stem in alone.split() else None


main()
