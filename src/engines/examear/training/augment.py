"""Rooms, noise, microphones and levels, made on the accelerator for a whole batch at once."""

import math

import numpy as np
import torch
from scipy.signal import lfilter

RATE = 16_000


def image_response(rng: np.random.Generator) -> np.ndarray:
    """A shoebox room: reflections by the image method, all of them in half of the rooms, in the others for 60 ms
    with a diffuse tail after."""
    size = np.array([rng.uniform(2.5, 7), rng.uniform(2.5, 6), rng.uniform(2.3, 3.2)])
    t60 = rng.uniform(0.2, 1.0)
    volume, surface = size.prod(), 2 * (size[0] * size[1] + size[0] * size[2] + size[1] * size[2])
    reflect = math.sqrt(max(0.05, 1 - min(0.95, 0.161 * volume / (surface * t60))))
    mic = rng.uniform(0.2, 0.8, 3) * size
    distance = min(rng.uniform(0.3, 2) if rng.random() < 0.6 else rng.uniform(2, 4), 0.9 * size[:2].max())
    for _ in range(50):
        way = rng.normal(size=3) * [1, 1, 0.3]
        mouth = mic + way / np.linalg.norm(way) * distance
        if ((mouth > 0.1) & (mouth < size - 0.1)).all():
            break
    mouth = np.clip(mouth, 0.1, size - 0.1)
    whole = rng.random() < 0.5
    order = np.minimum(np.ceil(min(t60, 0.6) * 343 / size), 40).astype(int) if whole else np.array([8, 8, 8])
    grid = np.stack(np.meshgrid(*(np.arange(-k, k + 1) for k in order), indexing="ij"), -1).reshape(-1, 3)
    place = np.where(grid % 2 == 0, grid * size + mouth, grid * size + size - mouth)
    far = np.linalg.norm(place - mic, axis=1)
    strength = reflect ** np.abs(grid).sum(1) / np.maximum(far, 0.1)
    length = int(0.6 * RATE)
    h = np.zeros(length + 1)
    at = far / 343 * RATE
    near = at < (length - 1 if whole else 0.06 * RATE)
    step = at[near].astype(int)
    # Where a reflection falls between two samples: on the nearer, or on both.
    part = np.round(at[near] - step) if rng.random() < 0.5 else at[near] - step
    h += np.bincount(step, strength[near] * (1 - part), length + 1) + np.bincount(step + 1, strength[near] * part, length + 1)
    if whole:
        h = h[int(at.min()) : length]
        return (h / np.sqrt((h[:80] ** 2).sum())).astype(np.float32)
    edge = int(0.06 * RATE)
    level = np.sqrt((h[edge // 2 : edge] ** 2).mean())
    t = np.arange(length - edge) / RATE
    tail = rng.normal(size=length - edge)
    low = lfilter([0.35], [1, -0.65], tail)
    # What is high dies away sooner in some rooms: curtains, beds, people.
    sooner = t60 * rng.choice([1, rng.uniform(0.4, 1)])
    h[edge:length] = level * (low * 10 ** (-3 * t / t60) + (tail - low) * 10 ** (-3 * t / sooner))
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
        """Babble of some talkers, coloured noise that swells, clatter, tones; each row one of them or two."""
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
            middle, width = self.u(rows, 1, low=100, high=6000), self.u(rows, 1, low=60, high=1000)
            shape = shape * (1 + self.u(rows, 1, low=-0.9, high=4) * torch.exp(-(((f - middle) / width) ** 2)))
        coloured = torch.fft.irfft(spectrum * shape, n)
        coloured = coloured * self.swell(rows, n)
        clicks = (self.u(rows, n) < self.u(rows, 1, low=5e-5, high=4e-4)).float() * torch.randn(rows, n, generator=self.g, device=self.device) * 30
        ringing = torch.arange(1600, device=self.device)
        ring = torch.exp(-ringing / self.u(rows, 1, low=20, high=300)) * torch.sin(ringing * self.u(rows, 1, low=0.1, high=2.2))
        clatter = torch.fft.irfft(torch.fft.rfft(clicks, n) * torch.fft.rfft(ring, n), n)
        unit = lambda x: x / x.square().mean(1, keepdim=True).sqrt().clamp(min=1e-6)
        babble, coloured = unit(babble), unit(coloured)
        which = self.u(rows, 1)
        mixed = torch.where(which < 0.5, babble, coloured)
        mixed = torch.where((which > 0.7) & (which < 0.8), coloured * 0.7 + unit(clatter), mixed)
        mixed = torch.where((which > 0.8) & (which < 0.9), coloured * 0.7 + unit(self.tones(rows, n)), mixed)
        mixed = torch.where(which > 0.9, babble + 0.5 * coloured, mixed)
        return unit(mixed)

    def swell(self, rows: int, n: int) -> torch.Tensor:
        """How loud, from moment to moment: steady to bursts."""
        t = torch.arange(n, device=self.device) / RATE
        level = torch.zeros(rows, n, device=self.device)
        for slowest, fastest in ((0.2, 1), (0.5, 3), (1, 8), (3, 15)):
            level += self.u(rows, 1) * torch.sin(2 * math.pi * (self.u(rows, 1, low=slowest, high=fastest) * t + self.u(rows, 1)))
        return torch.exp(level * self.u(rows, 1) ** 2 * 2)

    def tones(self, rows: int, n: int) -> torch.Tensor:
        """Motors, hum, alarms: a tone and what sounds above it, wavering, in some rows on and off."""
        t = torch.arange(n, device=self.device) / RATE
        pitch = 50 * 24 ** self.u(rows, 1)
        turns = pitch * (t + self.u(rows, 1, high=0.01) * torch.sin(2 * math.pi * self.u(rows, 1, low=0.5, high=6) * t))
        x = torch.zeros(rows, n, device=self.device)
        for k in range(1, 9):
            x += self.u(rows, 1) ** 2 * (k * pitch < 7000) * torch.sin(2 * math.pi * (k * turns + self.u(rows, 1)))
        on = torch.sin(2 * math.pi * (self.u(rows, 1, low=0.3, high=4) * t + self.u(rows, 1))) > -0.3
        return x * torch.where(self.u(rows, 1) < 0.4, on, torch.ones_like(on)) * self.swell(rows, n)

    def __call__(self, x: torch.Tensor, quiet: float = 0.25) -> torch.Tensor:
        """(rows, samples); `quiet`: share of rows without room or noise"""
        rows, n = x.shape
        full = 2 ** math.ceil(math.log2(n + self.rooms.shape[1]))
        # Microphone: some slopes and bands.
        f = torch.fft.rfftfreq(full, 1 / RATE, device=self.device)
        tone = (f.clamp(min=60) / 1000) ** self.u(rows, 1, low=-0.35, high=0.35)
        for _ in range(2):
            middle, width = self.u(rows, 1, low=150, high=7000), self.u(rows, 1, low=150, high=1200)
            tone = tone * 10 ** (self.u(rows, 1, low=-0.4, high=0.4) * torch.exp(-(((f - middle) / width) ** 2)))
        low = torch.where(self.u(rows, 1) < 0.3, self.u(rows, 1, low=100, high=350), torch.full((rows, 1), 20.0, device=self.device))
        tone = tone / (1 + (low / f.clamp(min=1)) ** 4).sqrt()
        pick = torch.randint(0, len(self.rooms), (rows,), generator=self.g, device=self.device)
        room = torch.fft.rfft(self.rooms[pick], full)
        room = torch.where(self.u(rows, 1) < 0.6, room, torch.ones_like(room))
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
        ratio = torch.where(self.u(rows, 1) < 0.5, self.u(rows, 1, low=-2, high=28), self.u(rows, 1, low=2, high=16))
        still = self.u(rows, 1) < quiet
        ratio = torch.where(still, self.u(rows, 1, low=35, high=60), ratio)
        x = x + self.noise(rows, n) * (power * 10 ** (-ratio / 10)).sqrt()
        # Some microphones and lines carry nothing above 4 kHz, or 5 to 7.
        line = self.u(rows, 1)
        end = torch.where(line < 0.25, self.u(rows, 1, low=3400, high=4000), self.u(rows, 1, low=5000, high=7000))
        f = torch.fft.rfftfreq(n, 1 / RATE, device=self.device)
        kept = torch.sigmoid((end - f) / 40).clamp(min=1e-4)
        x = torch.fft.irfft(torch.fft.rfft(x, n) * torch.where(line < 0.4, kept, torch.ones_like(kept)), n)
        peak = x.abs().amax(1, keepdim=True).clamp(min=1e-5)
        x = x / peak * 10 ** self.u(rows, 1, low=-1.7, high=0.15)
        x = x.clamp(-1, 1)
        # Rounded to 16 bits, with a whisper of noise.
        return x + torch.randn(rows, n, generator=self.g, device=self.device) * 3e-5
