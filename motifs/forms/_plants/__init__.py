"""Plants that are drawn from proportions: flowers, leaves and grass, trees."""
