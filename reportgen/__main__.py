"""python -m reportgen"""

import sys

from reportgen.commands import main

if __name__ == "__main__":
    sys.exit(main())
