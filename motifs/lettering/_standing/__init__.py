"""What raised letters stand on and are held by: ground or rails, hairs under dots, links between letters."""
