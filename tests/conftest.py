"""Every worker of the tests has a core of its own: more threads of the libraries would only wait for each other."""

import os

for _name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "OPENCV_FOR_THREADS_NUM"):
    os.environ.setdefault(_name, "1")
