from collections.abc import Mapping

from refinekit.chemistry.balance import balance as balance
from refinekit.chemistry.molar import molar as molar
from refinekit.chemistry.solution import Solution as Solution
from refinekit.chemistry.solution import dilute as dilute
from refinekit.chemistry.species import molar_mass as molar_mass
from refinekit.errors import RefinekitError as RefinekitError
from refinekit.facts.load import cite as cite
from refinekit.facts.load import fact as fact
from refinekit.ranges import Range as Range
from refinekit.shop.batch import read_batch as read_batch
from refinekit.shop.check import Check as Check
from refinekit.shop.check import checks as checks
from refinekit.shop.one_step import Result as Result
from refinekit.shop.one_step import step as step
from refinekit.shop.plan import run_plan as run_plan

__version__: str
PUBLIC: Mapping[str, str]
