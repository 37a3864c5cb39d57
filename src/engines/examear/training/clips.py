"""Sound of voices and people, put together into items to train and to judge on."""

import json
import os
import time
from functools import lru_cache

import numpy as np
import torch
from augment import RATE
from net import PHONES
from render import VOICES, rendered
from rivals import Rivals

NUMBER = {phone: i + 1 for i, phone in enumerate(PHONES)}


def company() -> tuple[int, int]:
    """Which of how many processes of one training this is (`torchrun`)."""
    return int(os.environ.get("RANK", 0)), int(os.environ.get("WORLD_SIZE", 1))


@lru_cache(maxsize=None)
def numbers(phones: str) -> tuple[int, ...]:
    return tuple(NUMBER[p] for p in phones.split())


def cores() -> int:
    """How many this process may use (`taskset`)."""
    return len(os.sched_getaffinity(0))


def keep(path: str, spoken: list[tuple[int, str, np.ndarray]]) -> None:
    """Writes what was rendered: index of the text, voice, sound as int16 at 16 kHz."""
    n = np.array([len(s) for _, _, s in spoken])
    np.savez(path, sound=np.concatenate([s for _, _, s in spoken] or [np.zeros(0, np.int16)]), i=np.array([i for i, _, _ in spoken]),
             voice=np.array([v for _, v, _ in spoken]), n=n, start=np.cumsum(n) - n)  # fmt: skip


def kept(path: str):
    """What `keep` wrote, clip by clip."""
    of = dict(np.load(path))
    for i, voice, start, n in zip(of["i"], of["voice"], of["start"], of["n"]):
        yield int(i), str(voice), of["sound"][start : start + n]


class Clips:
    """All sound on the device, with the rows of phones that each may be, and who said it.

    A clip's group: ("tts" or "held", voice), or of people ("train" or "dev", source, speaker, its word where it is one).
    """

    def __init__(self, device):
        self.sounds, self.rows, self.groups, self.of, self.people = [], [], {}, [], {}
        self.device, self.heard = device, set()

    def add(self, sound: np.ndarray, rows, group) -> None:
        self.groups.setdefault(group, []).append(len(self.sounds))
        self.of.append(group)
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

    def some(self, part: str, *sources: str) -> list[int]:
        """Clips of people of this part and these sources."""
        return [i for i, g in enumerate(self.of) if g[0] == part and g[1] in sources]

    def phones(self, i: int, said=None):
        said = self.said[i] if said is None else said
        return [NUMBER[p] for word, k in zip(self.rows[i], said) for p in word[k].split()]

    def words(self, i: int) -> tuple[list[tuple[int, ...]], list[list[tuple[int, ...]]]]:
        """For each word the phones said, and all that might be."""
        ways = [[numbers(way) for way in word] for word in self.rows[i]]
        return [way[k] for way, k in zip(ways, self.said[i])], ways


def load(args, device):
    """Clips; the talk of those to train on and of those kept apart; pronunciations of what the grammar holds; what it all is, as
    rows of a table."""
    began = time.time()
    texts = [json.loads(line) for line in open(args.texts)]
    rng = np.random.default_rng(5)
    some = sorted(rng.choice(len(texts), args.clips, replace=False)) if args.clips < len(texts) else range(len(texts))
    if args.cache and os.path.exists(args.cache):
        spoken = list(kept(args.cache))
    else:
        if company()[1] > 1:
            raise SystemExit("several processes need a --cache that one has filled with --render")
        spoken = [(some[i], voice, sound) for i, voice, sound in rendered([texts[i]["words"] for i in some], cores())]
        if args.cache:
            keep(args.cache, spoken)
    for path in args.spoken:
        spoken += kept(path)
    clips, data = Clips(device), {}
    held = args.held.split(",")

    def count(what, of, licence, part, sound, who):
        row = data.setdefault((what, of, part), {"what": what, "from": of, "licence": licence, "part": part, "clips": 0, "minutes": 0.0, "people": set()})
        row["clips"] += 1
        row["minutes"] += len(sound) / RATE / 60
        row["people"].add(who)

    for i, name, sound in spoken:
        part = "held" if name in held or not VOICES[name].trained else "tts"
        count(f"voice {name}", VOICES[name].package, VOICES[name].licence, part, sound, name)
        clips.add(sound, texts[i]["sounds"], (part, name))
    hours = sum(row["minutes"] for row in data.values()) / 60
    print(f"rendered {[(row['what'], row['clips']) for row in data.values()]}, {hours:.1f} h, {time.time() - began:.0f} s", flush=True)

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
        part = "dev" if m["dev"] else "train"
        if m["source"] != "talk":
            rows = [sounds.get(w) for w in m["words"]]
            if None in rows or len(sound) < 1600:
                left_out[m["source"]] = left_out.get(m["source"], 0) + 1
                continue
            clips.add(sound, rows, (part, m["source"], m["speaker"], " ".join(m["words"]) if len(m["words"]) == 1 else ""))
        else:
            talk[m["dev"]].append(sound)
        count(m["source"], m["corpus"], m["licence"], part, sound, m["speaker"])
        clips.people[m["speaker"]] = {"corpus": m["corpus"], "sex": m["sex"], "accent": m["accent"], "speaker": m["speaker"]}
    print("human clips without a pronunciation:", left_out, flush=True)
    clips.settle()
    known = [numbers(way) for t in texts if t["kind"] == "exam" for word in t["sounds"] for way in word]
    data = [{**row, "minutes": round(row["minutes"], 1), "people": len(row["people"])} for row in data.values()]
    return clips, {d: torch.tensor(np.concatenate(t), device=device) for d, t in talk.items()}, known, data


class Mixer:
    """Items of one or more clips in a row, as plans; made into sound on the device."""

    WANTED = set("left right yes no stop zero one two three four five six seven eight nine".split())

    def __init__(self, clips: Clips, part: str, seed: int, mix=(0.56, 0.28, 0.16), rivals: Rivals | None = None):
        self.clips, self.rng, self.mix, self.rivals = clips, np.random.default_rng(seed), mix, rivals
        voices = {"train": "tts", "held": "held"}.get(part)
        self.tts = {g[1]: np.array(m) for g, m in clips.groups.items() if g[0] == voices}
        # Of what was heard less surely, only what the network has come to hear too.
        self.reading = np.array(clips.some(part, "reading") + [i for i in clips.some(part, "doubtful") if i in clips.heard])
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
            share = np.array([VOICES[voice].trained or 0.1 for voice in self.tts])
            voice = rng.choice(list(self.tts), p=share / share.sum())
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
            at, said, words, ways = 0, [], [], []
            level = self.clips.level[parts[0][0]]
            for i, r, gap in parts:
                at = max(0, at + gap)
                row.append(k), start.append(self.clips.start[i]), length.append(self.clips.length[i])
                rate.append(r), offset.append(at)
                # Words of one person in a row are about as loud as each other.
                gain.append(level / self.clips.level[i] * 10 ** self.rng.uniform(-0.15, 0.15) / 32768)
                at += int(self.clips.length[i] / r)
                said += self.clips.phones(i)
                if self.rivals:
                    here = self.clips.words(i)
                    words, ways = words + here[0], ways + here[1]
            phones.append(said)
            if self.rivals:
                phones += self.rivals.of(self.rng, words, ways)
        # Few lengths, and all products of small primes: a transform of each length must be planned once.
        n = -(-max(self.samples(p) for p in plans) // 3200) * 3200
        lengths = np.array([self.samples(p) for p in plans])
        return {
            "seg": [np.array(v) for v in (row, start, length, rate, offset, gain)], "n": n, "lengths": lengths,
            "phones": np.array([p for q in phones for p in q]), "counts": np.array([len(q) for q in phones]),
        }  # fmt: skip


class Stream(torch.utils.data.IterableDataset):
    """Plans made by worker processes, as numbers only."""

    def __init__(self, clips: Clips, size: int, seed: int, mix, rivals: Rivals | None):
        self.clips, self.size, self.seed, self.mix, self.rivals = clips, size, seed, mix, rivals

    def __iter__(self):
        worker = torch.utils.data.get_worker_info()
        return Mixer(self.clips, "train", self.seed + (worker.id if worker else 0), self.mix, self.rivals).batches(self.size)


def same(batch):
    return batch


def stream(clips: Clips, size: int, seed: int, mix, rivals: Rivals | None = None):
    workers = max(1, min(12, cores() // company()[1] - 2))
    return iter(torch.utils.data.DataLoader(Stream(clips, size, seed, mix, rivals), batch_size=None, num_workers=workers, prefetch_factor=6, collate_fn=same))


def tensors(batch):
    return {**batch, "seg": [torch.tensor(v) for v in batch["seg"]], "lengths": torch.tensor(batch["lengths"]),
            "phones": torch.tensor(batch["phones"]), "counts": torch.tensor(batch["counts"])}  # fmt: skip


def sound_of(batch, clips: Clips, device) -> torch.Tensor:
    row, start, length, rate, offset, gain = (v.to(device, non_blocking=True) for v in batch["seg"])
    n, rows = batch["n"], len(batch["lengths"])
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

