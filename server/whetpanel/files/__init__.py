"""Work on files without a server: pool a table of trials, measure agreement.

For the statistician in the club, and so that any published grade can be recomputed from its trials.
"""

from whetpanel.files.agreement_table import agreement_file
from whetpanel.files.console import commands
from whetpanel.files.trial_tables import pool_files

__all__ = ["agreement_file", "commands", "pool_files"]
