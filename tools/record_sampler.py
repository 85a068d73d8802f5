"""Ask the sampler about the documented cases and write its answers to tests/sampler/answers.json.

Usage: tools/add_sampler.sh, then python -m tools.record_sampler [--processes N]
`make test` holds the reckoning to what stands there, so write it again only where a case or the model changed.
"""

import argparse
import json
import platform
import time
from concurrent.futures import ProcessPoolExecutor
from datetime import UTC, datetime
from importlib.metadata import version
from multiprocessing import get_context
from pathlib import Path

from tests.sampler.cases import CASES
from tests.sampler.verdict import fingerprint

ANSWERS = Path(__file__).resolve().parent.parent / "tests" / "sampler" / "answers.json"
FIRST_SEED = 2026
_DIGITS = 7


def recorded(number: int) -> dict[str, object]:
    """Return the sampler's answers about one case, with its seed and how long it took."""
    from tests.sampler.sampling import sampled_answers  # noqa: PLC0415 - each process starts its own

    name, case = list(CASES.items())[number]
    began = time.monotonic()
    answers = sampled_answers(case, FIRST_SEED + number)
    print(f"{name}: {time.monotonic() - began:.0f} s", flush=True)
    return {
        "fingerprint": fingerprint(case),
        "seed": FIRST_SEED + number,
        "seconds": round(time.monotonic() - began),
        "answers": {
            key: {part: float(f"{value:.{_DIGITS}g}") for part, value in vars(one).items()}
            for key, one in answers.items()
        },
    }


def main() -> None:
    """Sample every case and write what came out."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--processes", type=int, default=1)
    processes = arguments.parse_args().processes
    from tests.sampler.sampling import CHAINS, DRAWS, WARM_UP  # noqa: PLC0415 - the sampler starts slowly

    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        cases = dict(zip(CASES, pool.map(recorded, range(len(CASES))), strict=True))
    made = {
        "by": "tools/record_sampler.py",
        "on": f"{datetime.now(UTC):%Y-%m-%d}",
        "sampler": "NumPyro, No-U-Turn",
        "versions": {"python": platform.python_version()}
        | {name: version(name) for name in ("jax", "jaxlib", "numpy", "numpyro")},
        "chains": CHAINS,
        "warm_up": WARM_UP,
        "draws_per_chain": DRAWS,
    }
    ANSWERS.write_text(json.dumps({"made": made, "cases": cases}, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
