"""Speed of the equilibrium against PHREEQC 3.7.3 in phreeqpython, in the same run.

The peer gets all states in one text and one simulation: of the ways tried the fastest (an END after each state, a
spread sheet of states, its built-in column of pH were slower or the same).
"""

from time import perf_counter

import numpy as np
from stilltank.science.chemistry.equilibrium import solve

REAGENTS = ("K", "Ca", "Mg", "NO3", "SO4", "P", "Na", "DIC")
ELEMENTS = dict(zip(REAGENTS, ("K", "Ca", "Mg", "N(5)", "S(6)", "P", "Na", "C(4)"), strict=True))
CHARGES = dict(zip(REAGENTS, (1, 2, 2, -1, -2, 0, 1, 0), strict=True))


def nutrient_states(count: int, seed: int = 4) -> dict[str, np.ndarray]:
    """Nutrient solutions of all strengths in soft and hard water, part of the way through an acid dose."""
    random = np.random.default_rng(seed)
    strength = random.uniform(0.2, 1.5, count)
    recipe = {"K": 6, "Ca": 5, "Mg": 2, "NO3": 15, "SO4": 2, "P": 1}  # Hoagland 1, mmol
    state = {key: value * strength / 1000 for key, value in recipe.items()}
    alkalinity = random.uniform(0.0005, 0.006, count)
    state["Na"] = alkalinity
    state["NO3"] = state["NO3"] + alkalinity * random.uniform(0, 0.95, count)
    state["DIC"] = alkalinity * 1.03
    state["strong_charge"] = sum(CHARGES[key] * value for key, value in state.items())
    state["temperature"] = random.uniform(10, 30, count)
    return state


def titration(count: int) -> dict[str, np.ndarray]:
    """One water of 100 mg/L CaCO3 with acid from none to past its end."""
    acid = np.linspace(0, 0.0022, count)
    state = {key: np.zeros(count) for key in REAGENTS}
    state |= {"Na": np.full(count, 0.001998264), "DIC": np.full(count, 0.00202874), "NO3": acid}
    return state | {"strong_charge": 0.001998264 - acid, "temperature": np.full(count, 25.0)}


def text_of(state: dict[str, np.ndarray]) -> str:
    """All states as one PHREEQC input."""
    head = 'SELECTED_OUTPUT 1\n -reset false\nUSER_PUNCH 1\n -headings pH\n 10 PUNCH -LA("H+")\nEND\n'
    blocks = []
    for i in range(len(state["K"])):
        lines = [f" {ELEMENTS[key]} {1000 * state[key][i]:.8f}" for key in REAGENTS if state[key][i] > 0]
        blocks.append(
            f"SOLUTION {i + 1}\n temp {state['temperature'][i]:.4f}\n units mmol/kgw\n pH 7 charge\n"
            + "\n".join(lines)
        )
    return head + "\n".join(blocks) + "\nEND\n"


def best(action, repeats: int) -> float:
    """Shortest of some runs, s."""
    times = []
    for _ in range(repeats):
        start = perf_counter()
        action()
        times.append(perf_counter() - start)
    return min(times)


def main() -> None:
    """Print time per state and the ratio to the peer."""
    from phreeqpython import PhreeqPython

    peer = PhreeqPython(database="phreeqc.dat").ip
    for name, state, share in (
        ("10,000 nutrient solutions", nutrient_states(10_000), 0.1),
        ("a titration of 200 points", titration(200), 1.0),
    ):
        count = len(state["K"])
        few = {key: value[: int(count * share)] for key, value in state.items()}
        text = text_of(few)
        peer.run_string(text)
        theirs_ph = np.array([row[0] for row in peer.get_selected_output_array()[1:]])
        difference = np.abs(solve(few).ph - theirs_ph).max()
        theirs = best(lambda text=text: peer.run_string(text), 3) / len(few["K"])
        ours = best(lambda state=state: solve(state), 5) / count
        print(
            f"{name}: {1e6 * ours:.2f} us a state against {1e6 * theirs:.1f}, "
            f"{theirs / ours:.1f} times as fast; pH differs by at most {difference:.3f}"
        )


if __name__ == "__main__":
    main()
