"""Pieces and the printer's paper: a large one taken apart over sheets, small ones laid together on one."""
