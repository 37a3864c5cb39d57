"""Rooms, noise, microphones and levels, made on the accelerator for a whole batch at once."""

import math

import numpy as np
import torch

RATE = 16_000


def image_response(rng: np.random.Generator) -> np.ndarray:
    """A shoebox room: reflections by the image method for 60 ms, then a diffuse tail."""
    size = np.array([rng.uniform(2.5, 7), rng.uniform(2.5, 6), rng.uniform(2.3, 3.2)])
    t60 = rng.uniform(0.2, 0.9)
    volume, surface = size.prod(), 2 * (size[0] * size[1] + size[0] * size[2] + size[1] * size[2])
    reflect = math.sqrt(max(0.05, 1 - min(0.95, 0.161 * volume / (surface * t60))))
    mic = rng.uniform(0.2, 0.8, 3) * size
    distance = min(rng.choice([0.3, 0.7, 1, 1.5, 2, 3, 3.5]), 0.9 * size[:2].max())
    for _ in range(50):
        way = rng.normal(size=3) * [1, 1, 0.3]
        mouth = mic + way / np.linalg.norm(way) * distance
        if ((mouth > 0.1) & (mouth < size - 0.1)).all():
            break
    mouth = np.clip(mouth, 0.1, size - 0.1)
    order = 8
    n = np.arange(-order, order + 1)
    grid = np.stack(np.meshgrid(n, n, n, indexing="ij"), -1).reshape(-1, 3)
    place = np.where(grid % 2 == 0, grid * size + mouth, grid * size + size - mouth)
    far = np.linalg.norm(place - mic, axis=1)
    strength = reflect ** np.abs(grid).sum(1) / np.maximum(far, 0.1)
    length = int(0.6 * RATE)
    h = np.zeros(length + 1)
    at = far / 343 * RATE
    near = at < 0.06 * RATE
    whole = at[near].astype(int)
    part = at[near] - whole
    np.add.at(h, whole, strength[near] * (1 - part))
    np.add.at(h, whole + 1, strength[near] * part)
    edge = int(0.06 * RATE)
    level = np.sqrt((h[edge // 2 : edge] ** 2).mean())
    t = np.arange(length - edge) / RATE
    h[edge:length] = rng.normal(size=length - edge) * level * 10 ** (-3 * t / t60)
    h = h[int(at.min()) : length]
    return (h / np.sqrt((h[:80] ** 2).sum())).astype(np.float32)


class Augmenter:
    def __init__(self, device, talk: torch.Tensor, rooms: np.ndarray, seed: int = 1, others: float = 0.0):
        self.device, self.talk, self.others = device, talk, others
        self.rooms = torch.tensor(rooms, device=device)
        self.g = torch.Generator(device=device).manual_seed(seed)

    def u(self, *shape, low=0.0, high=1.0):
        return torch.rand(*shape, generator=self.g, device=self.device) * (high - low) + low

    def noise(self, rows: int, n: int) -> torch.Tensor:
        """Babble of some talkers, coloured noise, and hum or clatter; each row one of them or two."""
        talkers = 10
        start = (self.u(rows, talkers) * (len(self.talk) - n - 1)).long()
        babble = torch.zeros(rows, n, device=self.device)
        count = torch.randint(2, talkers + 1, (rows, 1), generator=self.g, device=self.device)
        step = torch.arange(n, device=self.device)
        for k in range(talkers):
            some = self.talk[start[:, k : k + 1] + step].float()
            babble += some * (k < count) * self.u(rows, 1, low=0.4)
        f = torch.fft.rfftfreq(n, 1 / RATE, device=self.device)
        spectrum = torch.fft.rfft(torch.randn(rows, n, generator=self.g, device=self.device))
        slope = self.u(rows, 1, low=0, high=1.3)
        shape = (f.clamp(min=40) / 400) ** -slope
        for _ in range(2):
            middle, width = self.u(rows, 1, low=100, high=3800), self.u(rows, 1, low=60, high=800)
            shape = shape * (1 + self.u(rows, 1, low=-0.9, high=4) * torch.exp(-(((f - middle) / width) ** 2)))
        coloured = torch.fft.irfft(spectrum * shape, n)
        rate = self.u(rows, 1, low=0.3, high=8)
        swell = 1 + self.u(rows, 1) * torch.sin(2 * math.pi * (rate * step / RATE + self.u(rows, 1)))
        coloured = coloured * swell
        clicks = (self.u(rows, n) < 2e-4).float() * torch.randn(rows, n, generator=self.g, device=self.device) * 30
        ring = torch.exp(-torch.arange(400, device=self.device) / 80.0) * torch.sin(
            torch.arange(400, device=self.device) * 0.8
        )
        clicks = torch.fft.irfft(torch.fft.rfft(clicks, n) * torch.fft.rfft(ring, n), n)
        unit = lambda x: x / x.square().mean(1, keepdim=True).sqrt().clamp(min=1e-6)
        which = self.u(rows, 1)
        mixed = torch.where(which < 0.45, unit(babble), unit(coloured))
        mixed = torch.where(which > 0.9, unit(babble) + 0.5 * unit(coloured), mixed)
        mixed = torch.where((which > 0.8) & (which < 0.9), unit(coloured) * 0.7 + unit(clicks), mixed)
        return unit(mixed)

    def __call__(self, x: torch.Tensor, quiet: float = 0.3) -> torch.Tensor:
        """(rows, samples); `quiet`: share of rows without room or noise"""
        rows, n = x.shape
        full = 2 ** math.ceil(math.log2(n + self.rooms.shape[1]))
        # Microphone: some slopes and bands.
        f = torch.fft.rfftfreq(full, 1 / RATE, device=self.device)
        tone = (f.clamp(min=60) / 1000) ** self.u(rows, 1, low=-0.35, high=0.35)
        for _ in range(2):
            middle, width = self.u(rows, 1, low=150, high=3600), self.u(rows, 1, low=150, high=900)
            tone = tone * 10 ** (self.u(rows, 1, low=-0.4, high=0.4) * torch.exp(-(((f - middle) / width) ** 2)))
        low = torch.where(self.u(rows, 1) < 0.3, self.u(rows, 1, low=100, high=350), torch.full((rows, 1), 20.0, device=self.device))
        tone = tone / (1 + (low / f.clamp(min=1)) ** 4).sqrt()
        pick = torch.randint(0, len(self.rooms), (rows,), generator=self.g, device=self.device)
        room = torch.fft.rfft(self.rooms[pick], full)
        room = torch.where(self.u(rows, 1) < 0.55, room, torch.ones_like(room))
        x = torch.fft.irfft(torch.fft.rfft(x, full) * room * tone, full)[:, :n]
        # Now and then one other person speaks too, fainter: whoever is in the next row.
        power = x.square().mean(1, keepdim=True).clamp(min=1e-10)
        ratio = self.u(rows, 1, low=7, high=24)
        some = self.u(rows, 1) < self.others
        shift = int(torch.randint(0, n, (1,), generator=self.g, device=self.device))
        other = x.roll((1, shift), (0, 1))
        other = other * (power / other.square().mean(1, keepdim=True).clamp(min=1e-10) * 10 ** (-ratio / 10)).sqrt()
        x = x + torch.where(some, other, torch.zeros_like(x))
        # Noise, at a ratio to the loud part of the speech.
        power = x.square().mean(1, keepdim=True).clamp(min=1e-10)
        ratio = self.u(rows, 1, low=-1, high=32)
        still = self.u(rows, 1) < quiet
        ratio = torch.where(still, self.u(rows, 1, low=35, high=60), ratio)
        x = x + self.noise(rows, n) * (power * 10 ** (-ratio / 10)).sqrt()
        peak = x.abs().amax(1, keepdim=True).clamp(min=1e-5)
        x = x / peak * 10 ** self.u(rows, 1, low=-1.7, high=0.15)
        x = x.clamp(-1, 1)
        # Rounded to 16 bits, with a whisper of noise.
        return x + torch.randn(rows, n, generator=self.g, device=self.device) * 3e-5
