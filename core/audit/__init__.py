"""Does a cutting hold, and where would it give way: necks, holds, limbs, corners, droop."""
