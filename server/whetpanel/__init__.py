"""Whetpanel: a panel of sharpeners tests natural whetstones and the grades are pooled honestly."""

__version__ = "0.1.0"
