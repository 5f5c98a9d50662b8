"""A copy of the database while the club is served, and the way back from one.

The keys are never in a copy: it is of no use to whoever finds it, and whoever restores it needs them too.
"""

from clubapp.desk.backup.copying import back_up
from clubapp.desk.backup.restoring import Restored, restore

__all__ = ["Restored", "back_up", "restore"]
