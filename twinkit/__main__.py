"""python3 -m twinkit."""

import sys

from twinkit.bootstrap import main

if __name__ == "__main__":
    sys.exit(main())
