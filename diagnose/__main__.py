"""Run ``python -m diagnose``."""

import sys

from diagnose.commands.main import main

sys.exit(main())
