"""Record ids that are the same on every run, so that loading twice changes nothing."""

import hashlib
import uuid
from datetime import datetime

import numpy as np

SEED = "whetpanel demo club, first edition"


def demo_id(club: str, thing: str, key: str, at: datetime) -> str:
    """A UUID in the layout of version 7 (RFC 9562, section 5.7) that depends on the arguments alone.

    The first 48 bits are ``at`` in milliseconds since 1970, as version 7 asks. The other bits come from a
    digest and not from chance: a device must draw them at random, but here the same record has to get
    the same id again. The club is part of the digest, so two demo clubs in one service never share an id.
    """
    ms = int(at.timestamp() * 1000)
    digest = int.from_bytes(hashlib.sha256(f"{SEED}/{club}/{thing}/{key}".encode()).digest()[:10], "big")
    value = (
        (ms & (2**48 - 1)) << 80
        | 0x7 << 76
        | (digest >> 68 & 0xFFF) << 64
        | 0b10 << 62
        | digest & (2**62 - 1)
    )
    return str(uuid.UUID(int=value))


def demo_rng(*names: str) -> np.random.Generator:
    """A generator for each named part, so that a change in one leaves the others as they were."""
    digest = hashlib.sha256("/".join((SEED, *names)).encode()).digest()
    return np.random.default_rng(int.from_bytes(digest[:8], "big"))
