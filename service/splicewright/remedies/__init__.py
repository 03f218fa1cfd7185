"""Small changes, and splits into several joints, that make a refused joint possible: searched, tried, told."""
