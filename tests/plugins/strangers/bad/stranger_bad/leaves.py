import sys

sys.exit("this module leaves the program")
