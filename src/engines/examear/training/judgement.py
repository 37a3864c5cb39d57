"""What is told of weights: all on people and voices that nothing was trained on."""

import math

import numpy as np
import torch
import torch.nn.functional as F
from clips import NUMBER, Clips, Mixer, sound_of, tensors
from net import Mel, frames_out

PAD = 40  # mel frames repeated before and after an utterance


def mel_of(mel: Mel, sound: torch.Tensor, lengths: torch.Tensor, tract=None):
    """Mel with both ends repeated outwards from where each utterance ends; frames that come of it."""
    m = mel(sound, tract)
    count = ((lengths - 512) // 160 + 1).clamp(min=1)
    index = (torch.arange(m.shape[1] + 2 * PAD, device=m.device)[None] - PAD).clamp(min=0)
    index = torch.minimum(index, count[:, None] - 1)
    m = torch.gather(m, 1, index[:, :, None].expand(-1, -1, m.shape[2]))
    return m, frames_out(count + 2 * PAD)


@torch.no_grad()
def heard(net, mel, clips: Clips, some: list[int], device, around: int = 1600, augment=None):
    """Log probabilities (frames, batch, labels) of single clips with so many samples of quiet before and after; how many frames each has."""
    net.eval()
    x = torch.zeros(len(some), int(clips.length[some].max()) + 2 * around, device=device)
    for k, i in enumerate(some):
        a, n = int(clips.start[i]), int(clips.length[i])
        x[k, around : around + n] = clips.all[a : a + n].float() / 32768
    x = augment(x) if augment else x + torch.randn_like(x) * 1e-4
    m, out = mel_of(mel, x, torch.tensor(clips.length[some] + 2 * around, device=device))
    return net(m).transpose(0, 1), out.long()


def edits(a: list[int], b: list[int]) -> int:
    row = list(range(len(b) + 1))
    for i, x in enumerate(a, 1):
        last, row[0] = row[0], i
        for j, y in enumerate(b, 1):
            last, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, last + (x != y))
    return row[-1]


def greedy(best: list[int]) -> list[int]:
    """The phones of the likeliest label of every frame."""
    return [p for j, p in enumerate(best) if p and (j == 0 or best[j - 1] != p)]


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
            wrong += edits(greedy(best[k, : int(out[k])].tolist()), batch["phones"][at : at + n].tolist())
            total += n
            at += n
    return wrong / max(1, total)


def batches(clips: Clips, chosen: list[int], size: int):
    chosen = sorted(chosen, key=lambda i: clips.length[i])
    return [chosen[first : first + size] for first in range(0, len(chosen), size)]


def words_told(net, mel, clips, device, augment=None, rounds=1):
    """Of single words of people kept apart, for each hearing: (clip, whether it is told from all other words in this
    corpus, -log of the right one's share)."""
    mine = clips.some("dev", "word", "digit")
    word = {i: clips.of[i][3] for i in mine}
    words = sorted(set(word.values()))
    said = {w: [NUMBER[p] for p in clips.rows[i][0][0].split()] for i, w in word.items()}
    counts = torch.tensor([len(said[w]) for w in words], device=device)
    phones = torch.tensor(sum((said[w] for w in words), []), device=device)
    told = []
    for _ in range(rounds):
        for some in batches(clips, mine, 48):
            logp, out = heard(net, mel, clips, some, device, 4800, augment)
            many = logp.repeat_interleave(len(words), 1)
            loss = F.ctc_loss(many, phones.repeat(len(some)), out.repeat_interleave(len(words)), counts.repeat(len(some)), reduction="none")
            for i, row in zip(some, loss.view(len(some), len(words)).double().cpu()):
                at = words.index(word[i])
                told.append((i, int(row.argmin()) == at, -float((-row).log_softmax(0)[at])))
    return told


def reading_heard(net, mel, clips, device, augment=None, rounds=1):
    """Of reading by people kept apart, for each hearing: (clip, phones wrong, phones)."""
    result = []
    for _ in range(rounds):
        for some in batches(clips, clips.some("dev", "reading"), 48):
            logp, out = heard(net, mel, clips, some, device, 1600, augment)
            best = logp.argmax(-1).T.cpu()
            for k, i in enumerate(some):
                phones = clips.phones(i)
                result.append((i, edits(greedy(best[k, : int(out[k])].tolist()), phones), len(phones)))
    return result


def told_apart(clips, told) -> tuple[dict, list]:
    """Shares right by source, and the words most often wrong."""
    tally, sums = {}, {}
    for i, good, nats in told:
        tally.setdefault(clips.of[i][3], []).append(good)
        for source in (clips.of[i][1], "all"):
            sums.setdefault(source, []).append((good, nats))
    worst = sorted((round(sum(t) / len(t), 3), w, len(t)) for w, t in tally.items())[:8]
    return {k: {"right": float(np.mean([g for g, _ in v])), "nats": float(np.mean([n for _, n in v]))} for k, v in sums.items()}, worst


def by_group(clips, clean, noisy) -> list[dict]:
    """Shares of what was counted, by what is known of who said it. `clean`, `noisy`: (clip, counted, of how many) for each hearing."""
    rows = []
    for kind in ("corpus", "sex", "accent", "speaker"):
        group = lambda i: clips.people[clips.of[i][2]][kind]
        for name in sorted({group(i) for i, *_ in clean} - {""}):
            share = lambda of: sum(n for i, n, _ in of if group(i) == name) / sum(m for i, _, m in of if group(i) == name)
            mine = {i for i, *_ in clean if group(i) == name}
            people = {clips.of[i][2] for i in mine}
            rows.append({"kind": kind, "group": name, "people": len(people), "clips": len(mine), "clean": share(clean), "noisy": share(noisy)})
    return rows


def loss_per_phone(net, mel, clips, chosen, device):
    """How badly the network hears the words that each of these clips is said to hold."""
    which, result = [], []
    for some in batches(clips, chosen, 96):
        logp, out = heard(net, mel, clips, some, device)
        rows = [clips.phones(i) for i in some]
        counts = torch.tensor([len(r) for r in rows], device=device)
        loss = F.ctc_loss(logp, torch.tensor(sum(rows, []), device=device), out, counts, reduction="none")
        which += some
        result += (loss / counts).cpu().tolist()
    return which, np.array(result)


def judged(net, mel, clips, noise, device, rounds: int) -> dict:
    """`rounds`: how often each word is heard in noise; the rest goes with it."""
    report = {}
    for name, part in (("human words of others", "dev"), ("voices held apart", "held")):
        if any(g[0] == part for g in clips.groups):
            report[f"phones wrong, {name}, clean"] = check(net, mel, Mixer(clips, part, 13), clips, device, rounds=math.ceil(rounds * 4 / 3))
            report[f"phones wrong, {name}, in rooms and noise"] = check(net, mel, Mixer(clips, part, 17), clips, device, noise, 2 * rounds)
    clean, noisy = words_told(net, mel, clips, device), words_told(net, mel, clips, device, noise, rounds)
    report["words told apart"], report["worst words"] = told_apart(clips, clean)
    report["words told apart, in rooms and noise"], report["worst words, in rooms and noise"] = told_apart(clips, noisy)
    # The corpora hold other words; digits are in all.
    digits = {clips.of[i][3] for i in clips.some("dev", "digit")}
    for name, holds in (("words", lambda word: True), ("digits", lambda word: word in digits)):
        once = lambda told: [(i, good, 1) for i, good, _ in told if holds(clips.of[i][3])]
        report[f"{name} right, by who said them"] = by_group(clips, once(clean), once(noisy))
    clean, noisy = reading_heard(net, mel, clips, device), reading_heard(net, mel, clips, device, noise, rounds)
    report["phones of reading wrong, by who read"] = by_group(clips, clean, noisy)
    return report
