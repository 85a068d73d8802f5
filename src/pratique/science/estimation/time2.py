import sys

sys.path.insert(0, "/tmp/est")
