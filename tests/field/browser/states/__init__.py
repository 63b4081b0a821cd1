"""Every screen of the page in every state that one can meet: how to get there, and what shows it.

The accessibility tests, the tests of narrow screens and large text, and the pictures (`look.py`)
all go through STATES. A test holds that each file of static/screens/ is here.
"""

from __future__ import annotations

from tests.field.browser.states.after import AFTER, DEVICE, PRINTED
from tests.field.browser.states.before import HOME, SCALE, SIGNING_IN
from tests.field.browser.states.line import CHILD, NUMBERS
from tests.field.browser.states.paper import PAPER
from tests.field.browser.states.phones import PHONES
from tests.field.browser.states.state import State

__all__ = ["STATES", "State"]

STATES = SIGNING_IN + HOME + SCALE + NUMBERS + CHILD + AFTER + PAPER + DEVICE + PHONES + PRINTED
