"""What a cutting plan comes out as: sheets to print and a page to have beside the table."""
