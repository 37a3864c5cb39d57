"""Writes the weights: one byte a weight with a scale for each channel out, normalisation folded in.

A file is: uint32 length of a JSON head, the head (padded to 4 bytes), then the arrays one after
another, each padded to 4 bytes. The head: {"arrays": {name: {"at", "shape", "scale"?, "type"}}}, `at`
from the end of the head; where `scale` names another array, value = byte * scale[row].
"""

import json

import numpy as np
import torch
from torch import nn


def write(net, bands: np.ndarray, path: str) -> None:
    arrays = {}

    def keep(name, value):
        arrays[name] = np.ascontiguousarray(value, np.float32)

    def pack(name, value):
        rows = value.reshape(len(value), -1)
        scale = np.maximum(np.abs(rows).max(1), 1e-8) / 127
        arrays[name] = np.round(rows / scale[:, None]).astype(np.int8).reshape(value.shape)
        keep(name + ".scale", scale)

    get = lambda t: t.detach().float().cpu().numpy()
    keep("mel.bands", bands[:256])
    for i, conv in enumerate(net.trunk.convs):
        pack(f"trunk.{i}", get(conv.weight))
        keep(f"trunk.{i}.bias", get(conv.bias))

    def affine(norm):
        scale = get(norm.weight) / np.sqrt(get(norm.running_var) + norm.eps)
        return scale, get(norm.bias) - get(norm.running_mean) * scale

    a, b = affine(net.norm)
    w = get(net.enter.weight)[:, :, 0]
    keep("enter.bias", get(net.enter.bias) + w @ b)
    # What comes in is scaled so that no input takes the whole range of the entering weights.
    size = np.abs(w * a).max(0)
    even = np.concatenate([np.ones(192), np.maximum(size[192:], 1e-6) / np.median(size[:192])])
    pack("enter", w * a / even)
    pack("trunk.last", get(net.trunk.last.weight) * even[192:288, None, None, None])
    a, b = affine(net.above)
    # A channel that has not answered in training might answer by the thousand to what it has never met: it never does.
    silent = get(net.norm.running_var)[288:] < 1e-6
    high = np.where(silent[:, None, None], 0, get(net.high.weight) * (a * even[288:])[:, None, None])
    pack("high", high)
    # The network takes 4 off what it sees; here that is in the bias, of the weights as they were rounded.
    rounded = arrays["high"] * arrays["high.scale"][:, None, None]
    keep("high.bias", np.where(silent, -1, b * even[288:] - 4 * rounded.sum((1, 2))))
    for i, block in enumerate(net.blocks):
        a, b = affine(block.norm1)
        pack(f"block.{i}.widen", get(block.widen.weight)[:, :, 0] * a[:, None])
        keep(f"block.{i}.widen.bias", b)
        a, b = affine(block.norm2)
        keep(f"block.{i}.along", get(block.along.weight)[:, 0] * a[:, None])
        keep(f"block.{i}.along.bias", b)
        pack(f"block.{i}.narrow", get(block.narrow.weight)[:, :, 0])
        keep(f"block.{i}.narrow.bias", get(block.narrow.bias))
    pack("leave", get(net.leave.weight)[:, :, 0])
    keep("leave.bias", get(net.leave.bias))
    head, at, body = {}, 0, []
    for name, value in arrays.items():
        entry = {"at": at, "shape": list(value.shape), "type": "int8" if value.dtype == np.int8 else "float32"}
        if name + ".scale" in arrays:
            entry["scale"] = name + ".scale"
        head[name] = entry
        raw = value.tobytes()
        raw += b"\0" * (-len(raw) % 4)
        body.append(raw)
        at += len(raw)
    text = json.dumps({"arrays": head}, separators=(",", ":")).encode()
    text += b" " * (-len(text) % 4)
    with open(path, "wb") as f:
        f.write(np.uint32(len(text)).tobytes() + text + b"".join(body))


def read(net, path: str):
    """The file's weights in a network, as the program that hears has them: rounded, norms folded in."""
    raw = open(path, "rb").read()
    size = int(np.frombuffer(raw[:4], np.uint32)[0])
    head = json.loads(raw[4 : 4 + size])["arrays"]

    def of(name):
        return torch.tensor(numbers(name))

    def numbers(name):
        e = head[name]
        n, start = int(np.prod(e["shape"])), 4 + size + e["at"]
        x = np.frombuffer(raw, np.int8 if e["type"] == "int8" else np.float32, n, start).reshape(e["shape"])
        if "scale" in e:
            x = x * numbers(e["scale"]).reshape([-1] + [1] * (x.ndim - 1))
        return np.array(x, np.float32)

    def plain(norm, bias=None):
        norm.running_mean.zero_(), norm.running_var.fill_(1 - norm.eps), norm.weight.fill_(1)
        norm.bias.zero_() if bias is None else norm.bias.copy_(bias)

    with torch.no_grad():
        for i, conv in enumerate(net.trunk.convs):
            conv.weight.copy_(of(f"trunk.{i}")), conv.bias.copy_(of(f"trunk.{i}.bias"))
        net.trunk.last.weight.copy_(of("trunk.last"))
        plain(net.norm)
        net.high.weight.copy_(of("high")), plain(net.above, of("high.bias") + 4 * of("high").sum((1, 2)))
        for name, layer in (("enter", net.enter), ("leave", net.leave)):
            layer.weight.copy_(of(name)[:, :, None]), layer.bias.copy_(of(name + ".bias"))
        for i, block in enumerate(net.blocks):
            block.widen.weight.copy_(of(f"block.{i}.widen")[:, :, None])
            plain(block.norm1, of(f"block.{i}.widen.bias"))
            block.along.weight.copy_(of(f"block.{i}.along")[:, None])
            plain(block.norm2, of(f"block.{i}.along.bias"))
            block.narrow.weight.copy_(of(f"block.{i}.narrow")[:, :, None])
            block.narrow.bias.copy_(of(f"block.{i}.narrow.bias"))
    return net


@torch.no_grad()
def unfold(net, mels: list[torch.Tensor]) -> int:
    """After `read`, normalisations as training has them, by what they see of these mel; what the network tells stays the same.
    Channels of the high bands that hardly ever answer begin anew; gives how many."""
    seen, answers = {}, []
    norms = [m for m in net.modules() if isinstance(m, nn.BatchNorm1d)]
    look = lambda norm, given: seen.setdefault(norm, []).append((given[0].mean((0, 2)), given[0].square().mean((0, 2))))
    hooks = [norm.register_forward_pre_hook(look) for norm in norms]
    hooks.append(net.norm.register_forward_pre_hook(lambda _, given: answers.append((given[0][:, 288:] > 0).float().mean((0, 2)))))
    net.eval()
    for m in mels:
        net(m)
    for hook in hooks:
        hook.remove()
    for norm in norms:
        mean, square = (torch.stack(x).mean(0) for x in zip(*seen[norm]))
        norm.running_mean.copy_(mean), norm.running_var.copy_((square - mean**2).clamp(min=1e-6))
        norm.weight.copy_((norm.running_var + norm.eps).sqrt()), norm.bias.add_(mean)
    silent = torch.stack(answers).mean(0) < 0.02
    # What enters has no scale of its own; weights before a norm are as large as training leaves them.
    by = net.norm.weight.clone()
    net.enter.bias.add_(net.enter.weight[:, :, 0] @ net.norm.bias), net.enter.weight.mul_(by[:, None])
    net.norm.weight.fill_(1), net.norm.bias.zero_()
    before = [(net.high, net.above, 0.06)]
    for block in net.blocks:
        before += [(block.widen, block.norm1, 0.05), (block.along, block.norm2, 0.2)]
    for layer, norm, size in before:
        by = size / layer.weight.square().mean((1, 2)).sqrt().clamp(min=1e-6)
        layer.weight.mul_(by[:, None, None])
        norm.running_mean.mul_(by), norm.running_var.mul_(by**2)
        norm.weight.copy_((norm.running_var + norm.eps).sqrt() / by)
    # What the high bands give has no scale of its own either: the norm that it enters takes it out.
    by = 1 / net.above.weight
    net.above.weight.mul_(by), net.above.bias.mul_(by)
    net.norm.running_mean[288:].mul_(by), net.norm.running_var[288:].mul_(by**2)
    # From nothing, so that nothing else is disturbed.
    new = nn.Conv1d(net.high.in_channels, net.high.out_channels, net.high.kernel_size)
    net.high.weight[silent] = new.weight.to(net.high.weight.device)[silent]
    net.enter.weight[:, 288:][:, silent] = 0
    for norm, which in ((net.above, silent), (net.norm, torch.cat([torch.zeros(288, dtype=bool, device=silent.device), silent]))):
        norm.running_mean[which], norm.running_var[which], norm.weight[which], norm.bias[which] = 0, 1, 1, 0
    return int(silent.sum())
