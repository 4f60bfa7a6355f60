"""Lines over blocks.

Each sheave that a line runs over takes a share of the pull.  US Navy, Steelworker Volume 2,
"Allowance for friction": each sheave costs 10 % of the load, and the losses are added up (read).
That is more than the compounded loss of the Wire Rope Users Manual, 4th edition, p. 86–88 (read:
1.09 a sheave for plain bearings, 1.04 for rolling bearings), so it errs to the safe side.
"""

SHEAVE_FRICTION = 0.10
"""Share of the pull that one sheave costs: US Navy, Steelworker Volume 2 (read). [1]"""


def pull_behind_block(pull: float, *, friction: float, hauling: bool = True) -> float:
    """Return the pull on the hauling side of a block for a pull on the load side. [N]

    Parameters
    ----------
    pull : float
        Tension on the load side. [N]
    friction : float
        Share of the pull that the sheave costs. [1]
    hauling : bool
        True while the line is hauled in, False while it is let out, when friction helps.
    """
    return pull * (1 + friction) if hauling else pull / (1 + friction)


def tackle_advantage(parts: int, *, friction: float, leads: int = 0) -> float:
    """Return load over lead-line pull of a tackle while hauling. [1]

    ``n/(1 + f s)`` with n parts over s sheaves: the hauling part is one of the parts, so there is
    one sheave less than there are parts, and the sheaves that lead to the winch.

    Parameters
    ----------
    parts : int
        Parts of line between the two blocks, 1 or more; 1 is a plain line.
    friction : float
        Share of the pull that a sheave costs. [1]
    leads : int
        Sheaves between the tackle and the winch.
    """
    return parts / (1 + friction * (parts - 1 + leads))
