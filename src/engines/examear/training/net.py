"""The network: a public speech embedding's convolutions, run along the whole utterance and trained
on, with a head that gives a phone or none for every 20 ms.

    sound 16 kHz -> 32 mel bands every 10 ms -> trunk (40 ms) -> head -> 2 x (39 phones + none)
                 -> 8 more, 3.8 to 7.6 kHz, where s, f, t and th differ ----^
"""

import numpy as np
import torch
import torch.nn.functional as F
from torch import nn

PHONES = (
    "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W "
    "Y Z ZH"
).split()
NONE = 0  # label 0 is "no phone here"; phone i of the list is label i + 1
LABELS = len(PHONES) + 1

# Kernel (time, bands) and channels of the trunk's convolutions; a pool (time stride, bands) after some.
TRUNK = [
    (3, 3, 24), (1, 3, 24), (3, 1, 24), "pool 2",
    (1, 3, 48), (3, 1, 48), (1, 3, 48), (3, 1, 48), "pool 1",
    (1, 3, 72), (3, 1, 72), (1, 3, 72), (3, 1, 72), "pool 2",
    (1, 3, 96), (3, 1, 96), (1, 3, 96), (3, 1, 96), "pool 1",
    (1, 3, 96), (3, 1, 96), (1, 3, 96), (3, 1, 96), "pool last",
]  # fmt: skip
WIDTH, BLOCKS, KERNEL, LEFT = 288, 8, 7, 5
TAP_SHIFT = 4  # frames of 40 ms from the early tap to the middle of what the late one saw
BANDS = 32  # of the trunk
HIGH, HIGH_WIDTH, HIGH_KERNEL, HIGH_SHIFT = 8, 64, 12, 21  # bands; channels; frames of 10 ms seen, of which the first


class Mel(nn.Module):
    """Power in mel bands (32 from 60 to 3800 Hz, 8 above) of 25 ms Hann windows, as log10 of 16-bit samples' power, plus 2."""

    def __init__(self, bands: np.ndarray):
        """`bands`: 257 bins of the spectrum by 40"""
        super().__init__()
        window = np.zeros(512, np.float32)
        window[56:456] = 0.5 - 0.5 * np.cos(2 * np.pi * np.arange(400) / 400)
        self.register_buffer("window", torch.tensor(window))
        self.register_buffer("bands", torch.tensor(bands))
        self.register_buffer("warped", torch.tensor(np.stack([warp(bands, a) for a in WARPS])))

    def forward(self, sound: torch.Tensor, tract: torch.Tensor | None = None) -> torch.Tensor:
        """(batch, samples) in -1..1 to (batch, frames, 40); `tract`: for each, which of WARPS"""
        frames = (sound * 32768).unfold(1, 512, 160) * self.window
        power = torch.fft.rfft(frames).abs().square()
        power = power @ (self.bands if tract is None else self.warped[tract])
        return torch.log10(power + 1.0) + 2.0


WARPS = np.linspace(0.8, 1.22, 43).round(3)


def warp(bands: np.ndarray, by: float) -> np.ndarray:
    """Bands as for a vocal tract shorter by this factor: what was at f is heard at f * by, bent so
    that the end at 4 kHz stays, since half of the recordings have nothing above it."""
    end, bend = 128.0, 128.0 * 0.85 * min(1.0, 1 / by)
    bins = np.arange(len(bands), dtype=np.float64)
    to = np.where(bins <= bend, bins * by, bend * by + (bins - bend) * (end - bend * by) / (end - bend))
    to = np.where(bins > end, bins, to)
    out = np.zeros_like(bands)
    for j in range(bands.shape[1]):
        out[:, j] = np.interp(to, bins, bands[:, j])
    return (out * np.gradient(to)[:, None]).astype(np.float32)


class Trunk(nn.Module):
    def __init__(self):
        super().__init__()
        self.convs = nn.ModuleList()
        before = 1
        for layer in TRUNK:
            if isinstance(layer, str):
                continue
            time, bands, channels = layer
            self.convs.append(nn.Conv2d(before, channels, (time, bands), padding=(0, bands // 2)))
            before = channels
        self.last = nn.Conv2d(96, 96, (3, 1), dilation=(2, 1), bias=False)

    def forward(self, mel: torch.Tensor) -> torch.Tensor:
        """(batch, frames, 32) to (batch, 288, frames of 40 ms)"""
        x, early, i = mel.unsqueeze(1), None, 0
        for layer in TRUNK:
            if layer == "pool last":
                x = F.max_pool2d(x, 2, stride=(1, 2))
            elif isinstance(layer, str):
                stride = int(layer[-1])
                x = F.max_pool2d(x, (stride, 2))
                if x.shape[1:4:2] == (96, 2):
                    early = x.permute(0, 3, 1, 2).flatten(1, 2)
            else:
                x = F.leaky_relu(self.convs[i](x), 0.2).clamp(min=-0.4)
                i += 1
        late = self.last(x)[:, :, :, 0]
        return torch.cat([early[:, :, TAP_SHIFT : TAP_SHIFT + late.shape[2]], late], 1)

    def load_embedding(self, weights: list[np.ndarray]) -> None:
        with torch.no_grad():
            for conv, (w, b) in zip(self.convs, zip(weights[0:-1:2], weights[1:-1:2])):
                conv.weight.copy_(torch.tensor(w))
                conv.bias.copy_(torch.tensor(b))
            self.last.weight.copy_(torch.tensor(weights[-1]))


class Block(nn.Module):
    def __init__(self, dropout: float):
        super().__init__()
        self.widen = nn.Conv1d(WIDTH, WIDTH, 1, bias=False)
        self.norm1 = nn.BatchNorm1d(WIDTH)
        self.along = nn.Conv1d(WIDTH, WIDTH, KERNEL, groups=WIDTH, bias=False)
        self.norm2 = nn.BatchNorm1d(WIDTH)
        self.narrow = nn.Conv1d(WIDTH, WIDTH, 1)
        self.dropout = nn.Dropout(dropout)

    def forward(self, x: torch.Tensor) -> torch.Tensor:
        y = F.relu(self.norm1(self.widen(x)))
        y = self.along(F.pad(y, (LEFT, KERNEL - 1 - LEFT)))
        y = self.narrow(self.dropout(F.relu(self.norm2(y))))
        return x + y


class ExamEar(nn.Module):
    def __init__(self, dropout: float = 0.1):
        super().__init__()
        self.trunk = Trunk()
        # A norm before the rectifier: all that these bands hold rises and falls with how loud it is, and without one a few steps
        # of training push a channel to where it never answers and so never learns again.
        self.high = nn.Conv1d(HIGH, HIGH_WIDTH, HIGH_KERNEL, stride=4, bias=False)
        self.above = nn.BatchNorm1d(HIGH_WIDTH)
        self.norm = nn.BatchNorm1d(288 + HIGH_WIDTH)
        self.enter = nn.Conv1d(288 + HIGH_WIDTH, WIDTH, 1)
        self.blocks = nn.ModuleList(Block(dropout) for _ in range(BLOCKS))
        self.leave = nn.Conv1d(WIDTH, 2 * LABELS, 1)

    def forward(self, mel: torch.Tensor) -> torch.Tensor:
        """(batch, frames, 40) to log probabilities (batch, frames of 20 ms, labels)"""
        low = self.trunk(mel[:, :, :BANDS])
        high = F.relu(self.above(self.high(mel[:, HIGH_SHIFT:, BANDS:].transpose(1, 2) - 4)))[:, :, : low.shape[2]]
        x = F.relu(self.enter(self.norm(torch.cat([low, high], 1))))
        for block in self.blocks:
            x = block(x)
        y = self.leave(F.relu(x)).transpose(1, 2)
        return y.reshape(y.shape[0], -1, LABELS).float().log_softmax(-1)


def frames_out(mel_frames):
    """How many frames of 20 ms come of so many of 10 ms (numbers or tensors)."""
    n = mel_frames - 4
    n = n // 2 - 8
    n = n // 2 - 4  # early tap
    n = n - 4 - 1 - 4
    return 2 * n


def embedding(path: str) -> list[np.ndarray]:
    """Weights of the embedding in order, biases between."""
    import onnx
    from onnx import numpy_helper

    graph = onnx.load(path).graph
    named = {i.name: numpy_helper.to_array(i) for i in graph.initializer}
    return [named[x] for n in graph.node if n.op_type == "Conv" for x in n.input if x in named]


def high_bands() -> np.ndarray:
    """Triangles even in mel from 3800 to 7600 Hz, as high as the embedding's own."""
    mel = lambda f: 2595 * np.log10(1 + f / 700)
    edge = 700 * (10 ** (np.linspace(mel(3800), mel(7600), HIGH + 2) / 2595) - 1) / 31.25
    bins = np.arange(257)[:, None]
    return np.clip(np.minimum((bins - edge[:-2]) / (edge[1:-1] - edge[:-2]), (edge[2:] - bins) / (edge[2:] - edge[1:-1])), 0, 1).astype(np.float32)


def mel_bands(path: str) -> np.ndarray:
    import onnx
    from onnx import numpy_helper

    for i in onnx.load(path).graph.initializer:
        if tuple(i.dims) == (257, 32):
            return np.concatenate([numpy_helper.to_array(i).astype(np.float32), high_bands()], 1)
    raise SystemExit(f"{path}: no mel bands")
