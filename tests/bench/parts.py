"""How often the parts of a change hold the truth, and how many are refused: family by family.

    python tests/bench/parts.py [CASES] [SEED]

No timed test: a table for people, after a change of the method. The small seeded version is
tests/core/comparison/test_what_changed.py. Families outside the model get a quarter of the cases.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from change_families import NAMES, TRIED, UNSEEN, WITHIN, tally, tally_scalar


def main():
    cases = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    print(f"{'':26}{'refused':>8}  " + "".join(f"{name:>9}" for name in NAMES) + "   noise alone")
    for title, families in (("within", WITHIN), ("tried", TRIED), ("unseen", UNSEEN)):
        print(title)
        for name, family in families.items():
            found = tally(family, cases if title == "within" else cases // 4, seed)
            refused = 1 - found.given / found.cases
            shares, by_noise = found.shares(), found.shares_by_noise()
            print(
                f"  {name:24}{refused:8.1%}  "
                + "".join(f"{shares[part]:9.1%}" for part in NAMES)
                + "   "
                + " ".join(f"{by_noise[part]:.1%}" for part in NAMES),
                flush=True,
            )
    print("without phase: tuning, width")
    for name, family in (WITHIN | TRIED | UNSEEN).items():
        (tuning, width), given, _ = tally_scalar(family, cases // 4, seed)
        print(f"  {name:24}{1 - given / (cases // 4):8.1%}  {tuning:9.1%}{width:9.1%}", flush=True)


if __name__ == "__main__":
    main()
