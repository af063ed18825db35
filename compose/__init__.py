"""Putting silhouettes, borders and grounds together so that they hold."""
