"""Times the usual Python colour library and plain numpy on what benches/colour.rs times.

    OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 python benches/python_reference.py

Needs colour-science and numpy. `cargo bench --bench colour` runs it first, where it can.
"""

import time
import warnings

warnings.filterwarnings("ignore")

import colour  # noqa: E402
import numpy as np  # noqa: E402

PAIRS = 100_000
SPECTRA = 100_000


def best(call, times=7):
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        call()
        taken.append(time.perf_counter() - start)
    return min(taken)


def main():
    random = np.random.default_rng(1)
    one, two = (random.random((PAIRS, 3)) * [100, 200, 200] - [0, 100, 100] for _ in range(2))
    shape = colour.SpectralShape(380, 730, 10)
    spectra = random.random((SPECTRA, 36))
    weights = random.random((36, 3))
    cmfs = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    light = colour.SDS_ILLUMINANTS["D65"]
    cases = [
        ("ΔE00, colour-science", PAIRS, lambda: colour.delta_E(one, two, method="CIE 2000")),
        (
            "spectra→XYZ, colour-science (sums at 10 nm)",
            SPECTRA,
            lambda: colour.msds_to_XYZ(
                spectra, cmfs, light, method="Integration", shape=shape
            ),
        ),
        ("spectra→XYZ, numpy matrix product", SPECTRA, lambda: spectra @ weights),
    ]
    print(f"colour-science {colour.__version__}, numpy {np.__version__}, one thread:")
    for name, count, call in cases:
        print(f"  {name:46} {count / best(call) / 1e6:8.2f} M/s")


main()
