"""A small series that tests draw: its design, its list and a drawing."""

BORDER = 'border = {motif = "scallop", band = "9 mm"}\n'
DESIGN = f"""
title = "Ex libris {{name}}"
size = ["60x90 mm", "80x120 mm"]
{BORDER}
[sheet]
size = "A5"
[series]
list = "names.csv"
"""
GROUND = """
[ground]
motif = "diamond-lattice"
pitch = "9 mm"
"""
NAMES = "name,drawing\nAna Muñoz,a.svg\nJürgen Groß,b.svg\n"
DRAWING = '<svg viewBox="0 0 20 20" width="20mm" height="20mm"><circle cx="10" cy="10" r="9"/></svg>'
