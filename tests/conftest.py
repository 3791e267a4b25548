"""One thread for linear algebra, as the command sets it: the suite's own workers fill the cores."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
