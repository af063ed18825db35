"""A whole series written: plates, one bound PDF, a contact sheet and a manifest."""
