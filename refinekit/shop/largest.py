"""The largest lot of a kind that a shop can carry: the share of the lot at which the first limit is just reached.

Each limit's use rises with the lot, by and large evenly, so its share is found between two shares of which one still fits and one
does not. The plan is run at each share with all its corners, without looking for danger; at the end the safety rules look at the
share found, and where they stop it, the largest they do not stop is looked for.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping

from refinekit.bench.pot import Pot
from refinekit.chemistry.species import molar_mass
from refinekit.errors import CannotFollow, OutOfRange, RefinekitError
from refinekit.how_far import tell
from refinekit.ranges import likely
from refinekit.record import record
from refinekit.shop.limits import Limits, Use, uses
from refinekit.shop.plan import Heard, Plan, Planned, walk

TINY = 1e-3
"""Share of a lot below which a limit is said to be met by no lot."""
HUGE = 1000.0
"""Times the lot beyond which nothing is looked for: another kind of shop."""
NEAR = 2e-3
"""Relative width to which a share is found."""
MOST_TRIES = 60
BEYOND = 1.05
"""How far past where a limit seems to lie the search looks, times the way there: the limit then lies between two shares."""
THE_PLAN = "the plan itself"
"""What limits where a step cannot be done at all at a larger share."""


@record
class Bound:
    """One limit and the largest lot it allows.

    Args:
        use: what this lot takes of it
        share: largest share of the lot it allows by itself [-]; inf where it does not rise with the lot
        about: whether the share was read off a line through two shares that were run, not found by running it
    """

    use: Use
    share: float
    about: bool


@record
class Largest:
    """What fits.

    Args:
        share: largest share of this lot that every limit allows [-]; over 1 where more than the lot fits
        lot_g: mass of the lot [g]
        bounds: every limit, the one that binds first
        doubled: largest share once the one that binds is doubled [-]
        stopped: what the safety rules stop just above the share, "" where a limit binds first
        runs: equal runs the lot is split into so that each fits [-]
        at_run: what one of these runs takes of every limit, by name
    """

    share: float
    lot_g: float
    bounds: tuple[Bound, ...]
    doubled: float
    stopped: str
    runs: int
    at_run: Mapping[str, Use]


class Shares:
    """Uses of every limit at shares of a lot, each share run once.

    Args:
        heard: the batch
        plan: the same, reckoned
        limits: what there is
    """

    def __init__(self, heard: Heard, plan: Plan, limits: Limits) -> None:
        self.heard, self.limits = heard, limits
        self.numbers = heard.laid(plan.ends)
        self.tried: dict[float, dict[str, Use]] = {1.0: self._uses(plan.steps)}

    def _uses(self, steps: Iterable[Planned]) -> dict[str, Use]:
        done = [one.done.step for one in steps if one.done]
        found = uses(done, self.heard.place, self.limits, self.heard.batch.shelf)
        return {use.name: use for use in found}

    def at(self, share: float) -> Mapping[str, Use]:
        """Uses by name; at a share where the plan cannot be done, that alone."""
        if share not in self.tried:
            tell(len(self.tried), 0, "sizes of the lot tried")
            try:
                self.tried[share] = self._uses(walk(self.heard, self.numbers, judged=False, lot_share=share).steps)
            except RefinekitError as fault:
                self.tried[share] = {THE_PLAN: Use(THE_PLAN, math.inf, 1.0, "", fault.what)}
        return self.tried[share]

    def most(self, share: float, *, but: str = "") -> float:
        """Part of the limit taken most at a share, one left out [-]."""
        return max((use.share for name, use in self.at(share).items() if name != but), default=0.0)

    def of(self, name: str, share: float) -> float:
        """Part of one limit taken at a share [-]; inf where the plan cannot be done."""
        found = self.at(share)
        return math.inf if THE_PLAN in found and name != THE_PLAN else found[name].share if name in found else 0.0

    def known(self) -> list[float]:
        """Shares that cost nothing to ask, rising."""
        return sorted(self.tried)

    def about(self, name: str) -> float:
        """Share at which one limit would be reached, on the line through the two nearest shares that were run [-]."""
        done = [share for share in self.known() if THE_PLAN not in self.tried[share]]
        over = next((share for share in done if self.of(name, share) > 1), done[-1])
        under = max((share for share in done if share < over), default=over)
        rise = (self.of(name, over) - self.of(name, under)) / (over - under) if over > under else 0.0
        return under + (1 - self.of(name, under)) / rise if rise > 0 else math.inf


def largest_under(use: Callable[[float], float], known: list[float]) -> float:
    """Largest share at which a use is at most 1, where it rises with the share.

    Args:
        use: part of a limit taken at a share [-]
        known: shares at which it costs nothing to ask, rising
    Returns: share, found to NEAR; 0 where not even TINY fits, inf where HUGE does
    """
    below = max((share for share in known if use(share) <= 1), default=0.0)
    above = min((share for share in known if share > below and use(share) > 1), default=math.inf)
    if not below:
        if use(TINY) > 1:
            return 0.0
        below = TINY
    while math.isinf(above):
        ahead = min(guess_beyond(use, below, known), HUGE)
        if use(ahead) > 1:
            above = ahead
        elif ahead >= HUGE:
            return math.inf
        else:
            below = ahead
    for _ in range(MOST_TRIES):
        if above - below <= NEAR * above:
            break
        middle = between(use, below, above)
        below, above = (middle, above) if use(middle) <= 1 else (below, middle)
    return below


def guess_beyond(use: Callable[[float], float], below: float, known: list[float]) -> float:
    """A share a little past where the use reaches 1, if it goes on as it went; twice as far where nothing tells."""
    smaller = max((share for share in known if share < below), default=below / 2)
    rise = (use(below) - use(smaller)) / (below - smaller)
    if not math.isfinite(rise) or rise <= 0:
        return 2 * below
    return max(below + BEYOND * (1 - use(below)) / rise, below * (1 + 2 * NEAR))


def between(use: Callable[[float], float], below: float, above: float) -> float:
    """A share between two, where a straight line reaches 1, but well within them; the middle where there is no line."""
    low, top = use(below), use(above)
    if not math.isfinite(top) or top <= low:
        return (below + above) / 2
    at = below + (1 - low) / (top - low) * (above - below)
    # a little to each side in turn, so that both ends close in on a line that is nearly straight
    aside = NEAR * above / 2.1
    at = at - aside if at - below > above - at else at + aside
    return min(max(at, below + 0.02 * (above - below)), above - 0.02 * (above - below))


def largest(heard: Heard, plan: Plan, limits: Limits) -> Largest:
    """The largest lot of this kind that every limit allows.

    Args:
        heard: the batch
        plan: the same, reckoned
        limits: what there is
    Raises: OutOfRange, a limit that no lot meets, with by how much; CannotFollow, the plan itself is stopped
    """
    if plan.stopped_at:
        raise CannotFollow(f"the plan is stopped at {plan.stopped_at}", cure="clear that first: refinekit plan FILE says why")
    shares = Shares(heard, plan, limits)
    if not shares.at(1.0):
        raise CannotFollow("nothing in this plan has a limit", cure="tell [limits] in the batch file: vessel, days, drum, month")
    if shares.most(1.0) > 1:
        _refuse_the_impossible(shares)
    first = largest_under(shares.most, shares.known())
    binds = _binding(shares, first)
    second = largest_under(lambda share: shares.most(share, but=binds), shares.known()) if math.isfinite(first) else first
    then = _binding(shares, second, but=binds)
    doubled = min(second, largest_under(lambda share: shares.of(binds, share) / 2, shares.known())) if binds else second
    share, stop = _not_stopped(heard, shares, first) if math.isfinite(first) else (first, "")
    runs = max(math.ceil(1 / share * (1 - NEAR)), 1)
    found = {binds: first, then: second}
    bounds = [_bound(shares, name, found) for name in (*shares.at(1.0), *((THE_PLAN,) if THE_PLAN in found else ()))]
    bounds.sort(key=lambda bound: bound.share)
    return Largest(share, lot_g(plan), tuple(bounds), doubled, stop, runs, shares.at(1 / runs))


def _bound(shares: Shares, name: str, found: Mapping[str, float]) -> Bound:
    if name == THE_PLAN:
        why = next(uses[THE_PLAN] for share, uses in sorted(shares.tried.items()) if THE_PLAN in uses)
        return Bound(why, found[name], about=False)
    if name in found:
        return Bound(shares.at(1.0)[name], found[name], about=False)
    return Bound(shares.at(1.0)[name], max(shares.about(name), max(found.values())), about=True)


def _binding(shares: Shares, share: float, *, but: str = "") -> str:
    """Name of the limit that is passed just above a share; "" where none is."""
    above = next((one for one in shares.known() if one > share and shares.most(one, but=but) > 1), None)
    if above is None:
        return ""
    return max((name for name in shares.at(above) if name != but), key=lambda name: shares.at(above)[name].share)


def _refuse_the_impossible(shares: Shares) -> None:
    tiny = shares.at(TINY)
    over = [use for use in tiny.values() if use.share > 1]
    if over:
        worst = max(over, key=lambda use: use.share)
        raise OutOfRange(
            f"no lot meets the limit: {worst.name} asks {worst.asks:.3g} {worst.unit} however small the lot, and there is"
            f" {worst.has:.3g} {worst.unit}, {worst.asks - worst.has:.3g} {worst.unit} too little",
            cure="raise that limit, or write the step smaller: a step whose volume is told keeps it for every lot",
        )


def _not_stopped(heard: Heard, shares: Shares, share: float) -> tuple[float, str]:
    """The largest share up to one that the safety rules do not stop, and what they stop just above it."""

    def stop(at: float) -> str:
        notices = [n for one in walk(heard, shares.numbers, lot_share=at).steps if one.done for n in one.done.notices]
        return next((notice.text for notice in notices if notice.level == "stop" and not notice.reason), "")

    said = stop(share)
    if not said:
        return share, ""
    below, above = 0.0, share
    while above - below > 10 * NEAR * above:
        middle = (below + above) / 2
        found = stop(middle)
        below, above, said = (below, middle, found) if found else (middle, above, said)
    return below, said


def lot_g(plan: Plan) -> float:
    """Likely mass of the lot [g]."""
    lot = plan.done_steps()[0]
    return sum(_mass_g(pot) for pot in lot.pots)


def _mass_g(pot: Pot) -> float:
    return likely(pot.inert_g) + sum(likely(mol) * molar_mass(species) for species, mol in pot.solids_mol.items())
