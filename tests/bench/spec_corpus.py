"""Mutated sentences of specs: none may fail but in our own words, none may take long, and what is read reads back.

Run `PYTHONPATH=tests python -m bench.spec_corpus [count] [seed]` (100 000 and 1 by default). Exit code 1 when a
sentence broke a rule.
"""

from __future__ import annotations

import random
import sys
import time
from dataclasses import replace

from kit.spec_corpus import READ, REFUSED
from marking.errors import MarkingError
from marking.fastening.spec_grammar import parse_spec

LIMIT_S = 0.050
TEXTS = [sentence.text for sentence in READ * 3 + REFUSED]
PIECES = sorted({piece for text in TEXTS for piece in text.split()}) + list("0123456789.,/+-±°()&;:\n½¾–−x ")


def mutated(rng: random.Random) -> str:
    """A sentence, or some joined, with up to four places changed."""
    text = rng.choice([" ", ", ", " + ", "\n"]).join(rng.choices(TEXTS, k=rng.choice([1, 1, 1, 2, 4])))
    for _ in range(rng.choice([0, 1, 1, 1, 2, 4])):
        at = rng.randrange(len(text) + 1)
        end = min(len(text), at + rng.choice([0, 0, 1, 1, 3]))
        text = text[:at] + rng.choice(["", *rng.choices(PIECES, k=4), text[at:end] * rng.choice([2, 40])]) + text[end:]
    return text[: rng.choice([100, 400, 500])]


def main() -> int:
    count, seed = (int(given or usual) for given, usual in zip((*sys.argv[1:3], "", ""), ("100000", "1"), strict=False))
    rng = random.Random(seed)
    parse_spec("1 lbf·ft + 1°")  # loads the units
    read = broken = 0
    times = []
    for _ in range(count):
        text = mutated(rng)
        begun = time.process_time()
        spec = None
        try:
            spec = parse_spec.__wrapped__(text, points=6)
        except MarkingError:
            pass
        except Exception as error:
            broken += 1
            print(f"{type(error).__name__} for {text!r}: {error}")
        times.append((time.process_time() - begun, text))
        if spec:
            read += 1
            again = parse_spec.__wrapped__(spec.read_as)
            if again != replace(spec, title="") or again.read_as != spec.read_as:
                broken += 1
                print(f"{text!r} is read as “{spec.read_as}”, which is read as “{again.read_as}”")
    slowest, text = max(times)
    mean = sum(took for took, _ in times) / count
    print(f"{count} sentences, {read} read; mean {1e6 * mean:.0f} µs, slowest {1e3 * slowest:.1f} ms: {text!r}")
    return 1 if broken or slowest > LIMIT_S else 0


if __name__ == "__main__":
    sys.exit(main())
