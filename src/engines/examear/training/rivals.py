"""What might have been said instead of an item's words: the same with a word for one near it in sound, one more or one
fewer. The network is to hear the right one as likelier, so that its margins are about what is easily taken for something else.
"""

import numpy as np
from net import PHONES

VOWELS = set("AA AE AH AO AW AY EH ER EY IH IY OW OY UH UW".split())
# Consonants that are taken for each other more easily than for the rest.
ALIKE = ["P T K B D G", "F TH S SH HH", "V DH Z ZH", "CH JH SH ZH T D", "M N NG", "L R W Y"]
NEAREST = 12


def costs() -> np.ndarray:
    """Of one phone taken for another, by label; 0.8 is that of one lost or put in."""
    cost = np.ones((len(PHONES) + 1,) * 2)
    groups = [VOWELS, *(set(g.split()) for g in ALIKE)]
    for i, a in enumerate(PHONES, 1):
        for j, b in enumerate(PHONES, 1):
            if any(a in g and b in g for g in groups):
                cost[i, j] = 0.5
    np.fill_diagonal(cost, 0)
    return cost


class Rivals:
    def __init__(self, words: list[tuple[int, ...]], count: int):
        """`words`: pronunciations of what the grammar holds; `count`: rivals of an item"""
        self.words, self.count, self.cost, self.known = sorted(set(words)), count, costs(), {}
        self.short = [w for w in self.words if len(w) <= 3]
        self.lengths = np.array([len(w) for w in self.words])
        self.table = np.zeros((len(self.words), self.lengths.max()), int)
        for k, w in enumerate(self.words):
            self.table[k, : len(w)] = w

    def near(self, word: tuple[int, ...]):
        """The nearest words of the grammar, and how likely each is to stand for it."""
        if word not in self.known:
            row = np.tile(0.8 * np.arange(self.table.shape[1] + 1), (len(self.words), 1))
            for phone in word:
                above, row[:, 0] = row.copy(), row[:, 0] + 0.8
                for j in range(self.table.shape[1]):
                    row[:, j + 1] = np.minimum(np.minimum(row[:, j], above[:, j + 1]) + 0.8, above[:, j] + self.cost[phone, self.table[:, j]])
            far = row[np.arange(len(self.words)), self.lengths]
            far[far == 0] = np.inf
            best = np.argsort(far)[:NEAREST]
            share = np.exp(-far[best])
            self.known[word] = best, share / share.sum()
        return self.known[word]

    def instead(self, rng, said: list[tuple[int, ...]], ways: list[list[tuple[int, ...]]]) -> list[int]:
        """Phones of one rival. `ways`: for each word, all its pronunciations, none of which is a rival"""
        rival, kind = list(said), rng.random()
        at = int(rng.integers(len(said)))
        if kind < 0.06 and len(said) > 1:
            del rival[at]
        elif kind < 0.12:
            rival.insert(at, self.short[rng.integers(len(self.short))])
        else:
            for k in {at, int(rng.integers(len(said)))} if kind > 0.85 else {at}:
                best, share = self.near(said[k])
                other = self.words[rng.choice(best, p=share)]
                rival[k] = said[k] if other in ways[k] else other
        return [p for word in rival for p in word]

    def of(self, rng, said, ways) -> list[list[int]]:
        """So many rivals; where chance finds none, the words themselves, which must then be told from themselves in vain."""
        return [self.instead(rng, said, ways) for _ in range(self.count)]
