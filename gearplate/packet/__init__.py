"""Shows a finished build to people, from its record and its cut files alone; decides nothing."""
