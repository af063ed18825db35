"""The marked drawing: every weak place of a cutting ringed, numbered and explained."""
